using SweepRig.Domain.Rigs;

namespace SweepRig.Domain.Measurement;

/// <summary>What a figure is worked out from: a corrected voltage at a place, or a resistor of the fixture (an input quantity in the sense of JCGM 100:2008, 4.1).</summary>
public readonly record struct InputQuantity
{
    private InputQuantity(VoltagePlace? voltageAt, double volts, ResistorPlace resistorAt) => (VoltageAt, Volts, ResistorAt) = (voltageAt, volts, resistorAt);

    /// <summary>Place of the voltage; null for a resistor.</summary>
    public VoltagePlace? VoltageAt { get; }

    /// <summary>Corrected voltage, volts; how much is known of it depends on where in the range it lies.</summary>
    public double Volts { get; }

    /// <summary>Which resistor; of no meaning for a voltage.</summary>
    public ResistorPlace ResistorAt { get; }

    public static InputQuantity Voltage(VoltagePlace place, double volts) => new(place, volts, default);

    public static InputQuantity Resistor(ResistorPlace place) => new(null, 0, place);

    /// <summary>This input as a part of a figure.</summary>
    /// <param name="sensitivity">Derivative of the figure by this input, in the unit of the figure per volt or per ohm.</param>
    public FigureTerm Times(double sensitivity) => new(this, sensitivity);
}

/// <summary>One term of a figure that is taken as linear about its inputs.</summary>
/// <param name="Input">The input.</param>
/// <param name="Sensitivity">Derivative of the figure by it (JCGM 100:2008, 5.1.3), in the unit of the figure per volt or per ohm.</param>
public readonly record struct FigureTerm(InputQuantity Input, double Sensitivity);
