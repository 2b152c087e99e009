using System.Globalization;
using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Families;

/// <summary>What a plate resistor on a rail allows: current (rail - plate voltage)/resistance.</summary>
/// <param name="Rail">Above 0. Unit: V.</param>
/// <param name="Resistor">Above 0. Unit: ohm.</param>
/// <param name="RailUncertainty">Standard uncertainty of the rail, 0 or above. Unit: V.</param>
/// <param name="ResistorUncertainty">Standard uncertainty of the resistor, 0 or above; a tolerance divided by the root of 3 (JCGM 100:2008, 4.3.7). Unit: ohm.</param>
public sealed record LoadLine(Volts Rail, Ohms Resistor, double RailUncertainty = 0, double ResistorUncertainty = 0)
{
    /// <summary>Unit: A.</summary>
    public double CurrentAt(double plateVolts) => (Rail.Value - plateVolts) / Resistor.Value;

    /// <summary>Both ends for drawing: no voltage left at the tube, no current. Units: V, A.</summary>
    public IReadOnlyList<SurfacePoint> Ends => [new(0, Rail.Value / Resistor.Value), new(Rail.Value, 0)];

    internal string? Fault =>
        Rail.Value is > 0 and <= 60 && Resistor.Value is > 0 and <= 1e9 && RailUncertainty >= 0 && ResistorUncertainty >= 0
            ? null
            : string.Create(CultureInfo.InvariantCulture, $"rail {Rail.Value} V, resistor {Resistor.Value} ohm, uncertainties {RailUncertainty} V and {ResistorUncertainty} ohm");
}

/// <param name="PlateVolts">Unit: V.</param>
/// <param name="PlateAmps">Current through the plate resistor. Unit: A.</param>
public readonly record struct SurfacePoint(double PlateVolts, double PlateAmps);
