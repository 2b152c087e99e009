namespace SweepRig.Sweeps.Interlocks;

/// <summary>What the rules must know of a pass.</summary>
/// <param name="IsSweep">False for a point held for a meter and for the steps of a screening, which look at tubes that are cold or broken.</param>
public sealed record PassFacts(bool IsSweep)
{
    /// <summary>Plate rail planned, volts; NaN while it is off.</summary>
    public double RailVolts { get; init; } = double.NaN;

    /// <summary>Heater voltage planned; NaN while it is off.</summary>
    public double HeaterVolts { get; init; } = double.NaN;

    /// <summary>How long the heater must have been on, seconds; 0 where it need not.</summary>
    public double WarmSeconds { get; init; }

    /// <summary>Time of one point at its slowest, seconds.</summary>
    public double PointSeconds { get; init; }

    public double StopperOhms { get; init; } = double.PositiveInfinity;

    /// <summary>What the type bears; infinite where no table says it.</summary>
    public double PlateWatts { get; init; } = double.PositiveInfinity;

    /// <summary>What the type bears; infinite where no table says it, and in triode connection.</summary>
    public double ScreenWatts { get; init; } = double.PositiveInfinity;
}
