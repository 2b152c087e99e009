using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Predictions;

/// <summary>Where a fitted tube switches: where its output falls most steeply.</summary>
/// <param name="Drive">V; absent with the reason where the range has no such place within.</param>
/// <param name="Output">Output to be read there, V.</param>
/// <param name="Gain">Change of output by drive there, negative, dimensionless.</param>
public sealed record PredictedSwitching(Figure Drive, Figure Output, Figure Gain)
{
    internal static PredictedSwitching None(string because) => new(Figure.None("V", because), Figure.None("V", because), Figure.None("1", because));
}

/// <summary>The switching point of a fitted tube, as the bench of its runs reads drive and output. Pure.</summary>
public static class SwitchingPrediction
{
    // Drives of the search, and of the look at the place found: the vertex of a parabola through three slopes so near is good to a microvolt.
    private const double SearchStep = 0.05, Step = 1e-3;

    // Points of that look to either side, and the most that a constant is moved by for a derivative: they keep the place in sight.
    private const int Around = 24;
    private const double MostMoved = 2e-3;

    /// <param name="fit">Not a refused one.</param>
    /// <param name="connection">What is asked for.</param>
    /// <param name="known">What the calibration leaves unknown with that connection's resistors.</param>
    /// <param name="fromDrive">Where the search begins, volts.</param>
    /// <param name="toDrive">Where it ends, volts, above <paramref name="fromDrive"/>.</param>
    /// <returns>Null when the model has no solution there.</returns>
    /// <exception cref="ArgumentException">The fit was refused.</exception>
    public static PredictedSwitching? Of(TubeModelFit fit, Connection connection, MeasurementUncertainty known, double fromDrive, double toDrive)
    {
        if (Found(fit, connection, known, fromDrive, toDrive) is not { } found) return null;
        if (found.Readings is not { } readings || found.Place is not { } place)
            return PredictedSwitching.None("within these drives the output of the fitted tube falls most steeply at an end; widen them");
        double Uncertainty(double[] gradient) => Vectors.Length(readings.Spread.Effects(gradient));
        return new(
            Figure.Of(place.Drive, "V", Uncertainty(found.Gradients.Drive)),
            Figure.Of(place.Output, "V", Uncertainty(found.Gradients.Output)),
            Figure.Of(place.Gain, "1", Uncertainty(found.Gradients.Gain)));
    }

    /// <summary>Derivatives of the drive of the switching point by the parameters of the fit; null when there is no such point.</summary>
    internal static double[]? Gradient(TubeModelFit fit, Connection connection, MeasurementUncertainty known, double fromDrive, double toDrive) =>
        Found(fit, connection, known, fromDrive, toDrive) is { Readings: { } readings } found ? readings.Spread.ByFitted(found.Gradients.Drive) : null;

    private sealed record Place(double Drive, double Output, double Gain);

    private sealed record Search(PredictedReadings? Readings, Place? Place, (double[] Drive, double[] Output, double[] Gain) Gradients);

    private static Search? Found(TubeModelFit fit, Connection connection, MeasurementUncertainty known, double from, double to)
    {
        var points = Math.Max(5, (int)Math.Ceiling((to - from) / SearchStep) + 1);
        var coarse = PredictedReadings.Of(fit, connection, known, new(connection, from, to, points));
        if (coarse?.With(coarse.Spread.At) is not { } whole) return null;
        if (Steepest(coarse.Pass.Drive, whole.Plate, whole.Gain) is not { } near) return new(null, null, default);
        PredictedReadings? readings = null;
        foreach (var step in (double[])[10 * Step, Step])
        {
            readings = PredictedReadings.Of(fit, connection, known, new(connection, near.Drive - Around * step, near.Drive + Around * step, 2 * Around + 1));
            if (readings is null) return null;
            near = At(readings, readings.Spread.At) ?? near;
        }
        return At(readings!, readings!.Spread.At) is { } place ? new(readings, place, Gradients(fit, readings)) : new(null, null, default);
    }

    // Central differences over a tenth of what is known of each unknown.
    private static (double[] Drive, double[] Output, double[] Gain) Gradients(TubeModelFit fit, PredictedReadings readings)
    {
        var at = readings.Spread.At;
        var (byDrive, byOutput, byGain) = (new double[at.Length], new double[at.Length], new double[at.Length]);
        for (var k = 0; k < at.Length; k++)
        {
            var (lowest, highest) = (double.NegativeInfinity, double.PositiveInfinity);
            var width = 0.1;
            if (k < TubeCoordinates.All.Count)
            {
                (lowest, highest) = TubeCoordinates.Range((TubeParameter)k);
                width = Math.Min(0.1 * Math.Sqrt(fit.Covariance[k * (TubeCoordinates.All.Count + 1)]), MostMoved);
                if (width == 0) continue;
            }
            double high = Math.Min(at[k] + width, highest), low = Math.Max(at[k] - width, lowest);
            if (At(readings, Moved(high)) is not { } up || At(readings, Moved(low)) is not { } down) continue;
            (byDrive[k], byOutput[k], byGain[k]) = ((up.Drive - down.Drive) / (high - low), (up.Output - down.Output) / (high - low), (up.Gain - down.Gain) / (high - low));

            double[] Moved(double value)
            {
                double[] moved = [.. at];
                moved[k] = value;
                return moved;
            }
        }
        return (byDrive, byOutput, byGain);
    }

    private static Place? At(PredictedReadings readings, double[] parameters) =>
        readings.With(parameters) is { } found ? Steepest(readings.Pass.Drive, found.Plate, found.Gain) : null;

    // The vertex of the parabola through the steepest slope and its neighbours; null at an end.
    private static Place? Steepest(double[] drive, double[] plate, double[] gain)
    {
        var i = Array.IndexOf(gain, gain.Min());
        if (i == 0 || i == gain.Length - 1) return null;
        var h = drive[1] - drive[0];
        var bend = gain[i - 1] - 2 * gain[i] + gain[i + 1];
        var shift = bend > 0 ? 0.5 * (gain[i - 1] - gain[i + 1]) / bend : 0;
        // Between the points the output runs along the parabola of its slope.
        var output = plate[i] + h * shift * (gain[i] + 0.25 * (gain[i + 1] - gain[i - 1]) * shift);
        return new(drive[i] + shift * h, output, gain[i] - 0.25 * (gain[i - 1] - gain[i + 1]) * shift);
    }
}
