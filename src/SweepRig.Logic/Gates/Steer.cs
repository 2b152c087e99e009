namespace SweepRig.Logic.Gates;

/// <summary>Where a falling edge is led to.</summary>
public enum SteerPlace
{
    /// <summary>The middle of a divider: where the level signal is low, the tube behind it is cut off, as if that input of the gate were low.</summary>
    Grid,

    /// <summary>The plate: where it is high, it is pulled low. The diode itself compares it with the rail, so that there is no level signal.</summary>
    Plate,
}

/// <summary>Values of a steering network.</summary>
/// <param name="Farads">From the trigger to the steering node. It has to move the divider against its speed-up capacitor, so it is some times that.</param>
/// <param name="Ohms">From the level to the steering node. With the capacitor it makes the time for which the level of before is remembered: longer than a stage takes, shorter than the trigger rests.</param>
public sealed record SteerValues(double Farads = 100e-12, double Ohms = 100_000)
{
    /// <summary>What the steering node needs to follow its level. Unit: s.</summary>
    public double Seconds => Farads * Ohms;
}

/// <summary>
/// A falling edge of a trigger, led to a gate through a capacitor and a diode. A resistor holds the node between the two at the level of another signal, which so decides whether
/// the edge passes. Rising edges and steady voltages do nothing.
/// </summary>
/// <param name="Trigger">Signal whose falling edge counts.</param>
/// <param name="Level">Signal that lets it pass while it is low; null at a plate, where it is the rail.</param>
/// <param name="Target">Output of the gate.</param>
/// <param name="Input">Which input of that gate is forced low, from 1; of no meaning at a plate.</param>
public sealed record Steer(string Trigger, string? Level, string Target, int Input, SteerPlace Place, SteerValues Values);

/// <summary>Where a load of a signal goes.</summary>
public enum LoadEnd
{
    /// <summary>Common of the supplies.</summary>
    Ground,

    /// <summary>The positive rail.</summary>
    Plate,

    /// <summary>The negative rail.</summary>
    Bias,
}

/// <summary>Something that hangs on a signal from outside: a cable, a lamp driver, an oscilloscope's probe.</summary>
/// <param name="Ohms">Null for none.</param>
/// <param name="Farads">To the same end; 0 for none.</param>
public sealed record GateLoad(string Signal, LoadEnd To, double? Ohms, double Farads);
