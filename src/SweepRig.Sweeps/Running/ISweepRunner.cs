using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Domain;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// The one door to a rig. All commands are messages to one task; a viewer never touches a rig. Refusals are values. Safe from any thread.
/// </summary>
public interface ISweepRunner
{
    /// <summary>The newest picture of the bench.</summary>
    BenchState State { get; }

    /// <summary>States, live blocks and ends of passes and runs, to any number of viewers.</summary>
    LiveFeed Feed { get; }

    /// <summary>Checks a plan against rig, tube, calibration, limits and permit without starting anything.</summary>
    /// <returns>The planned run, or every reason against it.</returns>
    Task<Outcome<PlannedRun>> CheckAsync(SweepRequest request, CancellationToken cancellationToken);

    /// <summary>Warms the heater if need be and runs the plan. Returns once the run is on record; its end comes through <see cref="Feed"/> and <see cref="WaitAsync"/>.</summary>
    Task<Outcome<RunHeader>> StartAsync(SweepRequest request, CancellationToken cancellationToken);

    /// <summary>
    /// Runs one step of a screening, on record like any run, but without waiting for the heater. Returns once it is on record; its end comes as for <see cref="StartAsync"/>.
    /// The heater stays as the step has it.
    /// </summary>
    Task<Outcome<RunHeader>> StartStepAsync(ScreeningRequest request, CancellationToken cancellationToken);

    /// <summary>Completes with the final state once the run has ended and is on record.</summary>
    /// <exception cref="KeyNotFoundException">No such run among the newest of this process.</exception>
    Task<RunState> WaitAsync(string runId, CancellationToken cancellationToken);

    /// <summary>Ends the run under way without a trip.</summary>
    Task<Outcome<BenchState>> StopAsync(CancellationToken cancellationToken);

    /// <summary>Grid to the most negative bias, switchable supplies off, run ended, latch fired until acknowledged.</summary>
    Task<Outcome<BenchState>> MakeSafeAsync(string reason, CancellationToken cancellationToken);

    /// <summary>The operator's release of a trip whose cause is gone.</summary>
    Task<Outcome<BenchState>> AcknowledgeAsync(CancellationToken cancellationToken);

    Task<Outcome<Permit>> GrantPermitAsync(Volts ceiling, TimeSpan duration, string reason, CancellationToken cancellationToken);

    Task<Outcome<BenchState>> EndPermitAsync(CancellationToken cancellationToken);

    /// <summary>
    /// Says whether somebody is at the bench. While nobody is, the interlocks hold the unattended limits; a run under way gets tighter ones at once and looser ones only at
    /// its end. A bench starts attended.
    /// </summary>
    Task<BenchState> SetAttendanceAsync(bool attended, CancellationToken cancellationToken);

    Task<Outcome<BenchState>> SetHeaterAsync(bool on, Volts heater, CancellationToken cancellationToken);

    /// <summary>
    /// Holds one point with no tube in the socket, so that a meter can be read beside the rig's own channels. All interlocks stay in force. Returns once enough
    /// has been measured there; the hold ends by itself, by <see cref="StopAsync"/>, or by a trip.
    /// </summary>
    Task<Outcome<HoldProgress>> HoldAsync(HoldRequest request, CancellationToken cancellationToken);

    /// <summary>Raw codes of the point that is held, or was held last.</summary>
    Task<Outcome<HeldReading>> ReadHoldAsync(CancellationToken cancellationToken);

    /// <summary>Looks anew for the calibration of the connected rig. A run under way keeps its own; the new one is taken up at its end.</summary>
    Task<BenchState> ApplyCalibrationAsync(CancellationToken cancellationToken);
}

/// <param name="Socket">Socket of the tube, from 0.</param>
public sealed record SweepRequest(SweepPlan Plan, Tube Tube, int Socket)
{
    /// <summary>The study that it is a run of; null where it stands by itself.</summary>
    public Domain.Studies.StudyTag? Study { get; init; }
}

/// <param name="Passes">The passes in order.</param>
/// <param name="Ceiling">Highest drive that will be sent.</param>
/// <param name="NeedsPermit">True if any drive is above 0 V.</param>
/// <param name="Floor">Physical floor of the sweep time: dwell and conversions alone.</param>
public sealed record PlannedRun(IReadOnlyList<PassHeader> Passes, Volts Ceiling, bool NeedsPermit, TimeSpan Floor)
{
    /// <summary>Limits of the tube's type that the plan was held to; none for a type that is not known.</summary>
    public IReadOnlyList<TypeLimit> Limits { get; init; } = [];
}
