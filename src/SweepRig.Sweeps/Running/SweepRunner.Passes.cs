using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Running;

/// <content>What the interlocks are told of passes and clocks.</content>
public sealed partial class SweepRunner
{
    private void TellPass(RunSession run)
    {
        var (pass, plan) = (run.Pass, run.Header.Plan);
        var isSweep = run.Hold is null && !run.IsWatch;
        var ratings = run.Hold is null ? _options.RatingsOf(run.Header.Tube.TypeName) : null;
        Apply(new InterlockEvent.PassBegun(
            new(isSweep)
            {
                RailVolts = pass.Supplies.PlateRail ? pass.Supplies.PlateRailVolts : double.NaN,
                HeaterVolts = pass.Supplies.Heater ? pass.Supplies.HeaterVolts : double.NaN,
                WarmSeconds = isSweep ? WarmAfter.TotalSeconds : 0,
                PointSeconds = pass.Floor.TotalSeconds / Math.Max(1, pass.Header.Points) + (plan.Settle?.TimeoutMicroseconds ?? 0) * 1e-6,
                StopperOhms = plan.Connection.GridStopper.Value,
                PlateWatts = ratings?.PlateDissipation?.Value ?? double.PositiveInfinity,
                ScreenWatts = plan.Connection.Kind == ConnectionKind.Triode ? double.PositiveInfinity : ratings?.ScreenDissipation?.Value ?? double.PositiveInfinity,
            },
            HostSeconds(_clock.Now)));
    }

    private void TellClocks() => Apply(new InterlockEvent.Clocks(
        HostSeconds(_clock.Now), _clock.UtcNow.ToUnixTimeMilliseconds() * 1e-3, _run is { Stage: RunStage.Sweeping, ProgramStarted: true } && _status is { Running: true }));

    /// <summary>A host timestamp in seconds, for differences only.</summary>
    private double HostSeconds(long hostTimestamp) => _clock.Microseconds(hostTimestamp) * 1e-6;
}
