using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Plans;

public enum SteppedSource
{
    /// <summary>The plate rail (and with it the screen where it hangs on the same rail).</summary>
    PlateRail,

    /// <summary>The heater voltage.</summary>
    Heater,
}

/// <summary>A second source stepped from pass to pass.</summary>
/// <param name="Source">Which source.</param>
/// <param name="From">First value.</param>
/// <param name="To">Last value.</param>
/// <param name="Steps">Number of values, 2 to 32.</param>
public sealed record SecondSource(SteppedSource Source, Volts From, Volts To, int Steps);
