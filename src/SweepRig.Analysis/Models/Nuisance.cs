using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;

namespace SweepRig.Analysis.Models;

/// <summary>What an unknown of the measurement does, in units of its own standard uncertainty.</summary>
internal enum NuisanceKind
{
    /// <summary>Adds <c>Constant + Slope (v - Centre)</c> to every corrected voltage of a place.</summary>
    Line,

    /// <summary>Adds <c>Constant + Slope v</c> to the corrected voltages of all places: the reference meter behind them.</summary>
    Meter,

    /// <summary>Multiplies a resistor by <c>1 + Slope</c>.</summary>
    Resistor,
}

/// <summary>
/// One unknown of the measurement that is the same for all readings it touches: carried in the fit with its own prior of mean 0 and standard deviation 1,
/// so that what the calibration does not know is neither weighted like scatter nor forgotten.
/// </summary>
internal sealed record Nuisance(NuisanceKind Kind, VoltagePlace Place, ResistorPlace Resistor, double Ohms, string Calibration, double Constant, double Slope, double Centre)
{
    /// <summary>Unknowns of a run; those that are exactly known are left out.</summary>
    public static IEnumerable<Nuisance> Of(MeasurementUncertainty known)
    {
        var id = known.Calibration.RigSerialNumber + "/" + known.Calibration.Id;
        foreach (var place in (VoltagePlace[])[VoltagePlace.Plate, VoltagePlace.Grid, VoltagePlace.Screen, VoltagePlace.Supply, VoltagePlace.Drive])
        {
            if (known.Voltages[(int)place]?.Correction is not { } correction) continue;
            // Cholesky factors of the covariance of value at the centre and slope: two independent unknowns in the place of two correlated ones.
            var covariance = correction.Covariance;
            var first = Math.Sqrt(covariance.AtCentre);
            var along = first > 0 ? covariance.AtCentreSlope / first : 0;
            var rest = Math.Sqrt(Math.Max(0, covariance.Slope - along * along));
            if (first > 0) yield return new(NuisanceKind.Line, place, default, 0, id, first, along, correction.CentreVolts);
            if (rest > 0) yield return new(NuisanceKind.Line, place, default, 0, id, 0, rest, correction.CentreVolts);
        }
        // Limits of rectangular distributions, JCGM 100:2008, 4.3.7.
        var plate = known.Voltages[(int)VoltagePlace.Plate]?.Correction;
        if (plate is { MeterGainLimit: > 0 }) yield return new(NuisanceKind.Meter, default, default, 0, id, 0, plate.MeterGainLimit / Math.Sqrt(3), 0);
        if (plate is { MeterZeroLimitVolts: > 0 }) yield return new(NuisanceKind.Meter, default, default, 0, id, plate.MeterZeroLimitVolts / Math.Sqrt(3), 0, 0);
        foreach (var resistor in known.Resistors)
            if (resistor.UncertaintyOhms > 0) yield return new(NuisanceKind.Resistor, default, resistor.Place, resistor.Ohms, id, 0, resistor.UncertaintyOhms / resistor.Ohms, 0);
    }

    /// <summary>What one standard uncertainty adds to a voltage of a place, volts; 0 where it has no part.</summary>
    public double At(VoltagePlace place, double volts) => Kind switch
    {
        NuisanceKind.Line when Place == place => Constant + Slope * (volts - Centre),
        NuisanceKind.Meter => Constant + Slope * volts,
        _ => 0,
    };
}
