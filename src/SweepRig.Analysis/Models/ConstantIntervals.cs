using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>Intervals of 95 % for the constants of a fit, and which of them the data determine.</summary>
/// <remarks>The interval of a coordinate is where the sum of squares, all else refitted, rises by the square of the coverage factor. Where the sum is a parabola that is
/// value and standard uncertainty; whether it is one is looked at on both sides, along the direction in which the other constants follow. Where it is not, the
/// sum is followed by refitting (profile likelihood; Bates and Watts 1988, Nonlinear Regression Analysis, chapter 6; from memory).</remarks>
internal static class ConstantIntervals
{
    // A parabola that is off by this part at the end of the interval moves the end by half as much.
    private const double NearlyParabola = 0.15;

    private const int MostRefits = 6;

    public static IReadOnlyList<FittedConstant> Of(TubeModelFit fit)
    {
        var z = Coverage.Student(double.PositiveInfinity, Coverage.Probability);
        Lazy<SweepDesign> design = new(() => SweepDesign.Of(fit));
        return [.. TubeCoordinates.All.Select(c => One(fit, c, z, design))];
    }

    private static FittedConstant One(TubeModelFit fit, TubeParameter constant, double z, Lazy<SweepDesign> design)
    {
        var n = TubeCoordinates.All.Count;
        var unit = TubeCoordinates.Unit(constant);
        var u = Math.Sqrt(fit.Covariance[(int)constant * (n + 1)]);
        var value = TubeCoordinates.Value(fit.Tube!, constant);
        var held = fit.Engine!.Decomposition!.Effect[(int)constant] == 0;
        if (held && ConstantPriors.IsFault(constant))
        {
            return new(constant, Figure.None(unit, "the readings show none; taken as that of a sound tube"), null, null, IntervalMethod.Parabola, null);
        }
        if (held || fit.Engine.AtBound[(int)constant])
            return new(constant, Figure.None(unit, "the fit ends at the edge of what the model allows"), null, null, IntervalMethod.Parabola, design.Value.Needed(constant));
        if (!ConstantPriors.IsFault(constant) && u > ConstantPriors.Determined * ConstantPriors.Width(constant))
        {
            return new(
                constant, Figure.None(unit, "these runs do not determine it: other constants make up for it"), null, null, IntervalMethod.Parabola,
                design.Value.Needed(constant));
        }
        var (low, high, method) = Interval(fit, constant, u, z);
        var (from, to) = (TubeCoordinates.FromCoordinate(constant, low), TubeCoordinates.FromCoordinate(constant, high));
        var standard = TubeCoordinates.IsLogarithm(constant) ? value * u : u;
        return new(constant, Figure.Of(value, unit, standard), from, to, method, null);
    }

    private static (double Low, double High, IntervalMethod Method) Interval(TubeModelFit fit, TubeParameter constant, double u, double z)
    {
        var at = fit.Engine!.Parameters[(int)constant];
        var rise = z * z * Math.Max(1, fit.Scale * fit.Scale);
        var weighted = Weighted(fit);
        var low = End(-1);
        var high = End(+1);
        return (at + low.Way, at + high.Way, low.Method == IntervalMethod.Profile || high.Method == IntervalMethod.Profile ? IntervalMethod.Profile : IntervalMethod.Parabola);

        (double Way, IntervalMethod Method) End(int side)
        {
            var way = side * z * u;
            var moved = Along(fit, constant, way);
            var actual = Sum(weighted, moved) - fit.Engine.SumOfSquares;
            if (Math.Abs(actual - rise) <= NearlyParabola * rise) return (way, IntervalMethod.Parabola);
            return (Follow(fit, weighted, constant, way, rise), IntervalMethod.Profile);
        }
    }

    // Root of the square root of the rise, which is nearly straight in the way gone, by refits with the constant held.
    private static double Follow(TubeModelFit fit, WeightedProblem problem, TubeParameter constant, double first, double rise)
    {
        var (lowest, highest) = TubeCoordinates.Range(constant);
        var at = fit.Engine!.Parameters[(int)constant];
        var free = fit.Engine.Decomposition!.Effect;
        double way = first, before = 0, root = Math.Sqrt(rise), rootBefore = 0;
        double[]? start = null;
        for (var n = 0; n < MostRefits; n++)
        {
            way = Math.Clamp(at + way, lowest, highest) - at;
            var moved = start ?? Along(fit, constant, way);
            moved[(int)constant] = at + way;
            var engine = TubeFitter.EngineOptions(fit.Problem!, moved, p => p == constant || free[(int)p] == 0);
            var refit = LeastSquares.Minimize(problem, moved, engine);
            var found = Math.Sqrt(Math.Max(0, refit.SumOfSquares - fit.Engine.SumOfSquares));
            if (!refit.IsConverged || Math.Abs(found - root) <= 0.01 * root) break;
            start = refit.Parameters;
            var slope = (found - rootBefore) / (way - before);
            if (!(slope * Math.Sign(first) > 0)) break;
            var next = way + Math.Clamp((root - found) / slope, -Math.Abs(way), Math.Abs(way));
            (before, rootBefore) = found < root ? (way, found) : (before, rootBefore);
            if (at + way == lowest || at + way == highest) break;
            way = next;
        }
        return way;
    }

    // Where all other coordinates go when one is moved and the sum of squares is a parabola: along its column of the covariance.
    private static double[] Along(TubeModelFit fit, TubeParameter constant, double way)
    {
        var engine = fit.Engine!;
        var variance = engine.Decomposition!.Covariance((int)constant, (int)constant);
        var moved = new double[engine.Parameters.Length];
        for (var k = 0; k < moved.Length; k++) moved[k] = engine.Parameters[k] + way * engine.Decomposition.Covariance((int)constant, k) / variance;
        for (var k = 0; k < TubeCoordinates.All.Count; k++)
        {
            var (lowest, highest) = TubeCoordinates.Range((TubeParameter)k);
            moved[k] = Math.Clamp(moved[k], lowest, highest);
        }
        return moved;
    }

    private static WeightedProblem Weighted(TubeModelFit fit)
    {
        var factors = new double[fit.Problem!.ResidualCount];
        Array.Fill(factors, 1);
        foreach (var wild in fit.Wild) factors[wild] = 0;
        return new(fit.Problem, factors);
    }

    private static double Sum(WeightedProblem problem, double[] at)
    {
        var residuals = new double[problem.ResidualCount];
        return problem.Evaluate(at, residuals, []) ? Vectors.Dot(residuals, residuals) : double.PositiveInfinity;
    }
}
