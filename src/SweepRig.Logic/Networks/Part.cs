using SweepRig.Analysis.Models;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Networks;

/// <summary>Something with leads at nodes.</summary>
/// <param name="Name">Unique in its network, whatever its case.</param>
public abstract record Part(string Name)
{
    /// <summary>The node of each lead, in the order of the part.</summary>
    public abstract IReadOnlyList<string> Nodes { get; }
}

/// <param name="A">One end.</param>
/// <param name="B">The other end.</param>
/// <param name="Ohms">Above 0.</param>
public sealed record Resistor(string Name, string A, string B, double Ohms) : Part(Name)
{
    public override IReadOnlyList<string> Nodes => [A, B];
}

/// <param name="A">One end.</param>
/// <param name="B">The other end.</param>
/// <param name="Farads">Above 0.</param>
public sealed record Capacitor(string Name, string A, string B, double Farads) : Part(Name)
{
    public override IReadOnlyList<string> Nodes => [A, B];
}

/// <summary>A semiconductor diode: I = Is (exp(V/(n VT)) - 1) with VT at 27 °C, Shockley 1949 (from memory); no breakdown, no resistance of its own.</summary>
/// <param name="SaturationAmps">Is, above 0.</param>
/// <param name="Emission">n, 1 to 2 in life.</param>
public sealed record Diode(string Name, string Anode, string Cathode, double SaturationAmps = 2.5e-9, double Emission = 1.75) : Part(Name)
{
    /// <summary>k T/e at 27 °C, the temperature that SPICE takes by itself. Unit: V.</summary>
    public const double ThermalVolts = TubeModel.BoltzmannOverCharge * 300.15;

    public override IReadOnlyList<string> Nodes => [Anode, Cathode];
}

/// <summary>A voltage source without resistance: a rail, a bias, or an input that may change.</summary>
/// <param name="Plus">Node of the terminal that <paramref name="Volts"/> counts at.</param>
/// <param name="Minus">The other; ground for most.</param>
public sealed record Source(string Name, string Plus, string Minus, Waveform Volts) : Part(Name)
{
    public override IReadOnlyList<string> Nodes => [Plus, Minus];
}

/// <summary>A tube with four leads; in triode connection screen and plate are at one node. The suppressor is at the cathode.</summary>
/// <param name="Model">At the temperature that its heater gives it.</param>
public sealed record TubePart(string Name, string Plate, string Screen, string Grid, string Cathode, TubeModel Model) : Part(Name)
{
    public override IReadOnlyList<string> Nodes => [Plate, Screen, Grid, Cathode];

    public bool IsTriode => Plate == Screen;

    /// <summary>Between its electrodes, sockets and wires included.</summary>
    public TubeCapacitances Capacitances { get; init; } = TubeCapacitances.Typical;

    /// <summary>The number of the tube in the stock; null for constants written into the network.</summary>
    public string? Number { get; init; }

    /// <summary>Its type designation, where known.</summary>
    public string? TypeName { get; init; }

    /// <summary>Where the model was seen to hold; null when nobody can tell.</summary>
    public ValidRange? Range { get; init; }

    /// <summary>Its transfer curve in place of its model; null for the model. In pentode connection the screen and its resistor are then within the measurement, and the lead goes nowhere but to the cathode.</summary>
    public MeasuredCurve? Curve { get; init; }

    /// <summary>Heater voltage. Unit: V.</summary>
    public double HeaterVolts { get; init; } = 6.3;

    /// <summary>Heater current, where known. Unit: A.</summary>
    public double? HeaterAmps { get; init; }
}

/// <summary>Capacitances between the electrodes of a tube in its socket. Unit: F.</summary>
/// <param name="GridCathode">Grid against cathode, suppressor and, in pentode connection, screen: what data sheets call the input.</param>
/// <param name="GridPlate">Grid against plate.</param>
/// <param name="PlateCathode">Plate against all the rest: the output.</param>
/// <param name="GridScreen">Of the input's capacitance, what goes over to the plate when the screen is tied to it.</param>
public sealed record TubeCapacitances(double GridCathode, double GridPlate, double PlateCathode, double GridScreen)
{
    /// <summary>A miniature pentode (5.5 pF input, 0.0035 pF grid to plate, 5 pF output; 6AU6, from memory) with 2, 0.2 and 3 pF of socket and wires (common practice, no source).</summary>
    public static TubeCapacitances Typical { get; } = new(5e-12, 0.2e-12, 8e-12, 2.5e-12);
}
