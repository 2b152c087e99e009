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
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(connection);
        if (fit.Problem is null || fit.Engine is null) throw new ArgumentException("The fit was refused and predicts nothing; look at its findings.", nameof(fit));
        var rail = connection.PlateRail.Value * RailOffPlan(fit);
        var scatter = Scatter(fit);
        var sweep = new PlannedSweep(connection with { PlateRail = new(rail) }, fromDrive, toDrive, points);
        var pass = PassData.Planned(new ModelRun("prediction", sweep.Connection, [], known), sweep, _ => scatter);
        var problem = new TubeProblem([pass], fit.Tube!);
        var spread = FittedSpread.Of(fit, problem);
        var residuals = new double[problem.ResidualCount];
        var jacobian = new double[problem.ResidualCount * problem.ParameterCount];
        // First the voltages at the pins; then, with these in the place of readings, what the unknowns of the measurement make of them.
        if (!problem.Evaluate(spread.At, residuals, [])) return null;
        pass.FillWithPredictions();
        if (!problem.Evaluate(spread.At, residuals, jacobian)) return null;
        var plate = pass.Channels[0];
        var read = new double[points];
        var uncertainty = new double[points];
        for (var i = 0; i < points; i++)
        {
            read[i] = plate.Volts[i] + plate.Scatter * residuals[i];
            uncertainty[i] = plate.Scatter * Vectors.Length(spread.Effects(jacobian, problem.ResidualCount, i));
        }
        var beyond = Beyond(fit.Range!, pass.Drive, rail, plate.Volts);
        var open = Enumerable.Range(0, points).Where(i => uncertainty[i] > Anywhere(rail)).ToArray();
        if (open.Length > 0)
            beyond.Add($"From {Volts(pass.Drive[open[0]])} to {Volts(pass.Drive[open[^1]])} of drive the runs leave the output open: fit them together with a sweep in the other connection or with another resistor.");
        foreach (var i in open) uncertainty[i] = Anywhere(rail);
        return new(connection, rail, pass.Drive, read, uncertainty, scatter, beyond);
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

    // A supply that stands at 27.9 V for a plan of 28 V will do so again.
    private static double RailOffPlan(TubeModelFit fit)
    {
        var first = fit.Problem!.Passes[0];
        return first.Run.Stepped is null ? first.Rail.Average() / first.Run.Connection.PlateRail.Value : 1;
    }

    private static double Scatter(TubeModelFit fit) => Math.Max(1, fit.Scale) * fit.Problem!.Passes.Max(p => p.Channels[0].Scatter);

    private static string Volts(double volts) => Engineering.Format(volts, "V", 3);
}
