using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Predictions;

/// <summary>Holds a run that no fit has seen against what the fit predicts for it. Pure.</summary>
public static class PredictionChecker
{
    private const int Draws = 2_000;

    // Names the draws and nothing else: the same runs give the same answer.
    private const ulong Seed = 20_261_125;

    /// <param name="fit">Not a refused one; of other runs of the same tube.</param>
    /// <param name="run">Measured, with any resistors and rail.</param>
    /// <returns>Null when the run has no usable point, or the model no solution for it.</returns>
    /// <exception cref="ArgumentException">The fit was refused.</exception>
    public static PredictionCheck? Of(TubeModelFit fit, ModelRun run)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(run);
        if (fit.Problem is null || fit.Engine is null) throw new ArgumentException("The fit was refused and predicts nothing; look at its findings.", nameof(fit));
        var passes = run.Curves.Select(c => PassData.Of(run, c)).OfType<PassData>().ToArray();
        if (passes.Length == 0) return null;
        var problem = new TubeProblem(passes, fit.Tube!);
        var spread = FittedSpread.Of(fit, problem);
        var residuals = new double[problem.ResidualCount];
        var jacobian = new double[problem.ResidualCount * problem.ParameterCount];
        if (!problem.Evaluate(spread.At, residuals, jacobian)) return null;

        List<CheckedPass> told = [];
        List<double[]> effects = [];
        List<double> deviations = [], uncertainties = [], drives = [];
        var row = 0;
        foreach (var pass in passes)
        {
            var plate = pass.Channels[0];
            var (predicted, uncertainty) = (new double[pass.Count], new double[pass.Count]);
            for (var i = 0; i < pass.Count; i++)
            {
                var effect = spread.Effects(jacobian, problem.ResidualCount, row + i);
                predicted[i] = plate.Volts[i] + plate.Scatter * residuals[row + i];
                // No output lies beyond its rail, whatever the constants leave open.
                var whole = Math.Min(Math.Sqrt(1 + Vectors.Dot(effect, effect)), Math.Max(1, OutputPrediction.Anywhere(pass.Rail[i]) / plate.Scatter));
                var length = Math.Max(whole, Vectors.Length(effect));
                uncertainty[i] = plate.Scatter * whole;
                effects.Add(Array.ConvertAll(effect, e => e / length));
                deviations.Add(-residuals[row + i] / whole);
                uncertainties.Add(uncertainty[i]);
                drives.Add(pass.Drive[i]);
            }
            told.Add(new(pass.Curve.Pass.Index, pass.Drive, plate.Volts, predicted, uncertainty));
            row += pass.Residuals;
        }
        var factor = WholeCurve(effects);
        var worst = Enumerable.Range(0, deviations.Count).MaxBy(i => Math.Abs(deviations[i]));
        var within = deviations.Count(d => Math.Abs(d) <= factor);
        return new(
            told, factor, within == deviations.Count, drives[worst], deviations[worst] * uncertainties[worst], factor * uncertainties[worst], deviations.Count, within);
    }

    // The points of a curve share their unknowns, so that neither 2 nor a bound for independent points is right: drawn instead (JCGM 101:2008, 7).
    private static double WholeCurve(List<double[]> effects)
    {
        var random = new RandomStream(Seed);
        var shared = new double[effects[0].Length];
        var greatest = new double[Draws];
        var own = effects.ConvertAll(e => Math.Sqrt(Math.Max(0, 1 - Vectors.Dot(e, e))));
        for (var n = 0; n < Draws; n++)
        {
            for (var k = 0; k < shared.Length; k++) shared[k] = random.Normal();
            for (var i = 0; i < effects.Count; i++) greatest[n] = Math.Max(greatest[n], Math.Abs(Vectors.Dot(effects[i], shared) + own[i] * random.Normal()));
        }
        Array.Sort(greatest);
        return greatest[(int)Math.Ceiling(Coverage.Probability * Draws) - 1];
    }
}
