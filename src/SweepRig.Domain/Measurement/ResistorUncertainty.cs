using SweepRig.Domain.Rigs;

namespace SweepRig.Domain.Measurement;

/// <summary>What is known of a resistor of the fixture.</summary>
/// <param name="Place">Which.</param>
/// <param name="Ohms">Value to reckon with, above 0: as measured, or as the plan names it.</param>
/// <param name="UncertaintyOhms">Standard uncertainty, ohms.</param>
/// <param name="SharedOhms">The part of it that all measured resistors have in common, ohms: they were read on the same range of the same meter. 0 where nothing was measured.</param>
/// <param name="IsMeasured">False: the value is the plan's, the uncertainty that of <see cref="NominalTolerance"/>.</param>
public sealed record ResistorUncertainty(ResistorPlace Place, double Ohms, double UncertaintyOhms, double SharedOhms, bool IsMeasured)
{
    /// <summary>Tolerance of a fixture resistor that was not measured, of its value: that of the parts list (firmware-notes/wiring/parts.csv, R5, R20, R21).</summary>
    public const double NominalTolerance = 0.01;

    /// <summary>As a plan names it, rectangular within its tolerance (JCGM 100:2008, 4.3.7).</summary>
    public static ResistorUncertainty Planned(ResistorPlace place, double ohms) => new(place, ohms, NominalTolerance * ohms / Math.Sqrt(3), 0, false);

    /// <summary>As it was measured with a meter.</summary>
    public static ResistorUncertainty Of(MeasuredResistor measured, ReferenceMeter? meter) => new(
        measured.Place, measured.Ohms, measured.UncertaintyOhms, meter is null ? 0 : Math.Min(measured.UncertaintyOhms, meter.OhmsUncertainty(measured.Ohms)), true);
}
