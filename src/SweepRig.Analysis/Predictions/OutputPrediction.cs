using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Predictions;

/// <summary>The output of a fitted tube with another resistor or rail. Pure.</summary>
public static class OutputPrediction
{
    /// <param name="fit">Not a refused one.</param>
    /// <param name="connection">What it is asked for.</param>
    /// <param name="known">What the calibration leaves unknown with that connection's resistors.</param>
    /// <param name="fromDrive">Volts.</param>
    /// <param name="toDrive">Volts, above <paramref name="fromDrive"/>.</param>
    /// <param name="points">2 or more.</param>
    /// <returns>Null when the model has no solution there.</returns>
    /// <exception cref="ArgumentException">The fit was refused.</exception>
    public static PredictedCurve? Of(TubeModelFit fit, Connection connection, MeasurementUncertainty known, double fromDrive, double toDrive, int points)
    {
        if (PredictedReadings.Of(fit, connection, known, new(connection, fromDrive, toDrive, points)) is not { } readings) return null;
        var (pass, rail) = (readings.Pass, readings.RailVolts);
        var read = new double[points];
        var uncertainty = new double[points];
        for (var i = 0; i < points; i++)
        {
            read[i] = readings.Plate(i);
            uncertainty[i] = readings.ScatterVolts * Vectors.Length(readings.PlateEffects(i));
        }
        var beyond = Beyond(fit.Range!, pass.Drive, rail, pass.Channels[0].Volts);
        var open = Enumerable.Range(0, points).Where(i => uncertainty[i] > Anywhere(rail)).ToArray();
        if (open.Length > 0)
            beyond.Add($"From {Volts(pass.Drive[open[0]])} to {Volts(pass.Drive[open[^1]])} of drive the runs leave the output open: fit them together with a sweep in the other connection or with another resistor.");
        foreach (var i in open) uncertainty[i] = Anywhere(rail);
        return new(connection, rail, pass.Drive, read, uncertainty, readings.ScatterVolts, beyond);
    }

    /// <summary>Standard uncertainty of an output of which nothing is known but that it lies between cathode and rail: rectangular (JCGM 100:2008, 4.3.7). Volts.</summary>
    internal static double Anywhere(double rail) => rail / Math.Sqrt(12);

    private static List<string> Beyond(ValidRange range, double[] drive, double rail, double[] plate)
    {
        List<string> beyond = [];
        // As far as the rounding of the rig's codes: the same sweep again is not beyond.
        const double slack = 0.05;
        if (drive[0] < range.LowestDrive - slack || drive[^1] > range.HighestDrive + slack)
            beyond.Add($"The runs drove from {Volts(range.LowestDrive)} to {Volts(range.HighestDrive)}; drives beyond are extrapolated.");
        if (rail > 1.02 * range.HighestRail) beyond.Add($"The highest rail of the runs was {Volts(range.HighestRail)}; {Volts(rail)} is extrapolated.");
        if (plate.Min() < range.LowestPlate - slack) beyond.Add($"The lowest output of the runs was {Volts(range.LowestPlate)}; below, the prediction is extrapolated.");
        return beyond;
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 3);
}
