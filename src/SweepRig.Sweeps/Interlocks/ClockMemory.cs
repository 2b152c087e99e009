namespace SweepRig.Sweeps.Interlocks;

/// <summary>What the rules remember of the clocks; all in seconds, NaN for nothing yet.</summary>
/// <param name="SilentSince">Host clock when a block was last heard, or a pass was not yet running; of passes in a row without any block that of the first, less the time in which none ran.</param>
/// <param name="RigLast">Rig clock of the last status.</param>
/// <param name="RigFrom">Rig clock at the beginning of the window in which the two are compared.</param>
/// <param name="HostFrom">Host clock then.</param>
/// <param name="WallAhead">Wall clock less monotonic clock when the permit was first seen.</param>
public readonly record struct ClockMemory(double SilentSince, double RigLast, double RigFrom, double HostFrom, double WallAhead)
{
    /// <summary>Host clock when the clocks were last told.</summary>
    public double Told { get; init; } = double.NaN;

    /// <summary>Host clock when the rig last told its status, or the clocks were first told.</summary>
    public double StatusAt { get; init; } = double.NaN;

    /// <summary>A block was heard since the last pass began.</summary>
    public bool Heard { get; init; }

    /// <summary>Length of the window, host seconds.</summary>
    public const double WindowSeconds = 10;

    public static ClockMemory None { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>The clocks were told. Time in which no pass runs is no part of the silence.</summary>
    public ClockMemory At(double hostSeconds, bool passRuns) => this with
    {
        Told = hostSeconds,
        StatusAt = double.IsNaN(StatusAt) ? hostSeconds : StatusAt,
        SilentSince = double.IsNaN(SilentSince) ? hostSeconds
            : passRuns ? SilentSince
            : Heard ? hostSeconds
            : SilentSince + hostSeconds - Told,
    };

    /// <summary>No sweep is armed any more: silence and the comparison of the clocks begin anew.</summary>
    public ClockMemory ForNextRun() => None with { WallAhead = WallAhead, StatusAt = StatusAt };

    /// <summary>Another link or a restart: nothing is known of the rig.</summary>
    public ClockMemory WithoutRig() => None with { WallAhead = WallAhead };
}
