using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Rounds;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Stations;

/// <summary>One rig of this service with all that is its own. What is beside it, store and stock and types, is shared by all.</summary>
/// <param name="choice">What was asked for.</param>
/// <param name="runner">The one door to the rig.</param>
/// <param name="calibration">Its calibration under way.</param>
/// <param name="round">Its screening round.</param>
public sealed class Station(RigChoice choice, ISweepRunner runner, CalibrationDesk calibration, RoundDesk round) : IAsyncDisposable
{
    /// <summary>Stable, and the same after a restart; see <see cref="StationName"/>.</summary>
    public string Name => choice.Name;

    public RigChoice Choice => choice;

    public ISweepRunner Runner => runner;

    public CalibrationDesk Calibration => calibration;

    public RoundDesk Round => round;

    /// <summary>Made here and ended with the station; null where a test has a runner of its own.</summary>
    public IRig? Rig { get; init; }

    /// <summary>The rig itself when it is simulated in this process; null otherwise.</summary>
    public SimulatedRig? Simulated { get; init; }

    /// <summary>Call once.</summary>
    public void Start() => (runner as SweepRunner)?.Start();

    /// <summary>Ends a run under way, makes the rig safe and takes no more commands; what was recorded stays readable. Calling it again does nothing.</summary>
    public async Task MakeSafeAndEndAsync()
    {
        if (runner is SweepRunner own) await own.DisposeAsync();
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
