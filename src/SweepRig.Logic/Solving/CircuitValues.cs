using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Solving;

/// <summary>What the parts of a circuit are worth, in the order of its network. Belongs to one thread at a time; change it freely between solutions.</summary>
public sealed class CircuitValues
{
    /// <summary>The values of the network itself.</summary>
    public CircuitValues(Circuit circuit)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        Circuit = circuit;
        var parts = circuit.Network.Parts;
        Siemens = [.. parts.OfType<Resistor>().Select(r => 1 / r.Ohms)];
        Farads = [.. Circuit.CapacitorsOf(circuit.Network).Select(c => c.Farads)];
        Diodes = [.. parts.OfType<Diode>().Select(d => new DiodeLaw(d.SaturationAmps, d.Emission * Diode.ThermalVolts))];
        Tubes = [.. circuit.Network.Tubes.Select(t => t.Model)];
        Curves = [.. circuit.Network.Tubes.Select(t => t.Curve)];
        Sources = [.. parts.OfType<Source>().Select(s => s.Volts)];
    }

    private CircuitValues(CircuitValues other)
    {
        Circuit = other.Circuit;
        Siemens = [.. other.Siemens];
        Farads = [.. other.Farads];
        Diodes = [.. other.Diodes];
        Tubes = [.. other.Tubes];
        Curves = other.Curves;
        Sources = [.. other.Sources];
    }

    public Circuit Circuit { get; }

    /// <summary>Of each resistor.</summary>
    public double[] Siemens { get; }

    /// <summary>Of each capacitor, then three of each tube: grid to cathode, grid to plate, plate to cathode.</summary>
    public double[] Farads { get; }

    internal DiodeLaw[] Diodes { get; }

    /// <summary>Each tube at its temperature.</summary>
    public TubeModel[] Tubes { get; }

    /// <summary>Of each tube that is taken by its measured curve; null for one that is taken by its model.</summary>
    internal MeasuredCurve?[] Curves { get; }

    /// <summary>Of each source.</summary>
    public Waveform[] Sources { get; }

    public CircuitValues Copy() => new(this);

    /// <summary>Writes the voltages of the nodes that sources hold.</summary>
    /// <param name="seconds">Moment; 0 for direct current.</param>
    /// <param name="share">Of the sources that is on: 1 but while a solution is approached.</param>
    /// <param name="volts">One a node.</param>
    internal void Hold(double seconds, double share, Span<double> volts)
    {
        volts[0] = 0;
        foreach (var held in Circuit.Held) volts[held.Node] = volts[held.From] + held.Sign * share * Sources[held.Source].At(seconds);
    }
}

/// <summary>Current and slope of a diode.</summary>
/// <param name="Saturation">Unit: A.</param>
/// <param name="ThermalVolts">n k T/e.</param>
internal readonly record struct DiodeLaw(double Saturation, double ThermalVolts)
{
    // Straight on from where an ampere flows: no solution of a bench is there, and the exponential would overflow on the way to one.
    private const double MostAmps = 1;

    public double Current(double volts, out double slope)
    {
        var knee = ThermalVolts * Math.Log(MostAmps / Saturation);
        var factor = Math.Exp(Math.Min(volts, knee) / ThermalVolts);
        slope = Saturation * factor / ThermalVolts;
        return Saturation * (factor - 1) + (volts > knee ? slope * (volts - knee) : 0);
    }
}
