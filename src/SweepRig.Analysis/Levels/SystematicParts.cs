using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// What the calibration does to a level, source by source: each correction by its own fit, gain and zero of the reference meter, each resistor. What they have in common is in here, so that the
/// sum of the squares is the variance by <see cref="MeasurementUncertainty"/> (JCGM 100:2008, 5.2.2).
/// </summary>
internal static class SystematicParts
{
    public static IEnumerable<Contribution> Of(MeasurementUncertainty known, string unit, FigureTerm[] terms)
    {
        double meterGain = 0, meterZero = 0;
        var places = 0;
        foreach (var term in terms)
        {
            if (term.Input.VoltageAt is not { } place || known.Voltages[(int)place]?.Correction is not { } correction) continue;
            places |= 1 << (int)place;
            meterGain += term.Sensitivity * correction.MeterGainLimit * term.Input.Volts;
            meterZero += term.Sensitivity * correction.MeterZeroLimitVolts;
        }
        for (var p = 0; p < known.Voltages.Count; p++)
        {
            if ((places & (1 << p)) != 0 && OfPlace(known, (VoltagePlace)p, terms) is { } line) yield return line;
        }
        if (meterGain != 0) yield return new("gain of the reference meter", Math.Abs(meterGain) / Math.Sqrt(3), unit, 1, ErrorShape.Rectangular);
        if (meterZero != 0) yield return new("zero of the reference meter", Math.Abs(meterZero) / Math.Sqrt(3), unit, 1, ErrorShape.Rectangular);
        foreach (var line in OfResistors(known, unit, terms)) yield return line;
    }

    private static Contribution? OfPlace(MeasurementUncertainty known, VoltagePlace place, FigureTerm[] terms)
    {
        var correction = known.Voltages[(int)place]!.Correction;
        var (variance, volts, widest) = (0.0, 0.0, 0.0);
        foreach (var a in terms)
        {
            if (a.Input.VoltageAt != place) continue;
            if (Math.Abs(a.Sensitivity) > widest) (widest, volts) = (Math.Abs(a.Sensitivity), a.Input.Volts);
            foreach (var b in terms)
            {
                if (b.Input.VoltageAt == place) variance += a.Sensitivity * b.Sensitivity * correction.FitCovariance(a.Input.Volts, b.Input.Volts);
            }
        }
        var own = correction.FitUncertaintyAt(volts);
        return variance > 0 && own > 0 ? new(Name(place), own, "V", Math.Sqrt(variance) / own) : null;
    }

    private static IEnumerable<Contribution> OfResistors(MeasurementUncertainty known, string unit, FigureTerm[] terms)
    {
        var shared = 0.0;
        foreach (var resistor in known.Resistors)
        {
            var sensitivity = 0.0;
            foreach (var term in terms)
            {
                if (term.Input.VoltageAt is null && term.Input.ResistorAt == resistor.Place) sensitivity += term.Sensitivity;
            }
            if (sensitivity == 0) continue;
            shared += sensitivity * resistor.SharedOhms;
            var own = Math.Sqrt(Math.Max(0, resistor.UncertaintyOhms * resistor.UncertaintyOhms - resistor.SharedOhms * resistor.SharedOhms));
            if (own > 0) yield return new(Name(resistor.Place), own, "Ω", sensitivity, resistor.IsMeasured ? ErrorShape.Normal : ErrorShape.Rectangular);
        }
        if (shared != 0) yield return new("reference meter on its ohms", Math.Abs(shared), unit, 1, ErrorShape.Rectangular);
    }

    private static string Name(VoltagePlace place) => place switch
    {
        VoltagePlace.Drive => "calibration of the drive",
        VoltagePlace.DriveReadBack => "calibration of the drive's read-back",
        VoltagePlace.Plate => "calibration of the plate channel",
        VoltagePlace.Grid => "calibration of the grid channel",
        VoltagePlace.Screen => "calibration of the screen channel",
        _ => "calibration of the supply channel",
    };

    private static string Name(ResistorPlace place) => place switch
    {
        ResistorPlace.Plate => "plate resistor",
        ResistorPlace.Screen => "screen resistor",
        _ => "grid stopper",
    };
}
