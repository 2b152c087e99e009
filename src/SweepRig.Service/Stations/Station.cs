using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Nights;
using SweepRig.Service.Rounds;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Stations;

/// <summary>One rig of this service with all that is its own. What is beside it, store and stock and types, is shared by all.</summary>
/// <param name="choice">What was asked for.</param>
/// <param name="runner">The one door to the rig.</param>
/// <param name="calibration">Its calibration under way.</param>
/// <param name="round">Its screening round.</param>
/// <param name="night">Its unattended work.</param>
public sealed class Station(RigChoice choice, ISweepRunner runner, CalibrationDesk calibration, RoundDesk round, NightDesk night) : IAsyncDisposable
{
    /// <summary>Stable, and the same after a restart; see <see cref="StationName"/>.</summary>
    public string Name => choice.Name;

    public RigChoice Choice => choice;

    public ISweepRunner Runner => runner;

    public CalibrationDesk Calibration => calibration;

    public RoundDesk Round => round;

    public NightDesk Night => night;

    /// <summary>Made here and ended with the station; null where a test has a runner of its own.</summary>
    public IRig? Rig { get; init; }

    /// <summary>The rig itself when it is simulated in this process; null otherwise.</summary>
    public SimulatedRig? Simulated { get; init; }

    /// <summary>Call once.</summary>
    /// <param name="takesUpNights">See <see cref="NightDesk.Start"/>.</param>
    public void Start(bool takesUpNights = true)
    {
        (runner as SweepRunner)?.Start();
        night.Start(takesUpNights);
    }

    /// <summary>Ends a run under way, makes the rig safe and takes no more commands; what was recorded stays readable. Calling it again does nothing.</summary>
    public async Task MakeSafeAndEndAsync()
    {
        // The night lets go at once and is taken up again by the next process; nothing of it is waited for before the rig is safe.
        var ended = night.DisposeAsync();
        if (runner is SweepRunner own) await own.DisposeAsync();
        await ended;
    }

    public async ValueTask DisposeAsync()
    {
        await round.DisposeAsync();
        calibration.Dispose();
        await MakeSafeAndEndAsync();
        if (Rig is not null) await Rig.DisposeAsync();
        if (Simulated is not null) await Simulated.DisposeAsync();
    }
}
