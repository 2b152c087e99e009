using SweepRig.Analysis.Fitting;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>Fits the tube model to one or many runs of one tube together. Pure.</summary>
/// <remarks>
/// Readings of plate, grid and screen are weighted by their own scatter; what the calibration and the resistors leave unknown is carried as unknowns of the fit
/// with their own priors, so that it widens the intervals as it should and bends no curve. A few wild readings are left out and counted. Constants that
/// the data do not determine stay near what is typical and are named instead of numbered. Gas and leakage are held at those of a sound tube unless the readings
/// ask for them.
/// </remarks>
public static class TubeFitter
{
    // Residuals beyond this many times their scatter on the whole: the model does not describe the readings.
    private const double Misfit = 3;

    // Improvement of the sum of squares that a fault must bring before it is believed: one sound tube in a thousand shows it by chance (chi-square, 1 degree).
    private const double FaultShows = 10.8;

    /// <param name="runs">Of one tube: pentode and triode connection, several resistors, families, in any mixture.</param>
    /// <param name="options">Type and starts.</param>
    /// <exception cref="OperationCanceledException">As the options ask.</exception>
    public static TubeModelFit Fit(IReadOnlyList<ModelRun> runs, TubeFitOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(runs);
        options ??= new();
        var screened = RunScreening.Of(runs);
        if (screened.Refusals.Count > 0) return TubeModelFit.Refused([.. screened.Refusals, .. screened.Doubts, .. screened.Notes]);

        var typical = options.Typical ?? ConstantPriors.Typical;
        var problem = new TubeProblem(screened.Passes, typical, options.Cancellation);
        var found = Search(problem, options);
        if (!found.Robust.Fit.IsConverged) return TubeModelFit.Refused([Misfits.Contradiction(runs, double.PositiveInfinity, options) ?? NotConverged(found.Robust.Fit), .. screened.Doubts, .. screened.Notes]);
        found = found with { Robust = WithFaults(problem, found.Robust) };
        if (ScatterFromFit.Of(problem, found.Robust, typical) is { } refined)
        {
            var at = found.Robust.Fit.Parameters;
            var held = found.Robust.Fit.Decomposition!.Effect;
            var again = RobustFit.Minimize(refined, at, EngineOptions(refined, at, p => ConstantPriors.IsFault(p) && held[(int)p] == 0), refined.Readings);
            if (again.Fit.IsConverged) (problem, found) = (refined, found with { Robust = again });
        }

        var scale = Scale(problem, found.Robust);
        if (scale > Misfit)
        {
            if (Misfits.WrongConnection(runs, problem, scale, options) is { } wrong) return TubeModelFit.Refused([wrong, .. screened.Doubts, .. screened.Notes]);
            screened.Doubts.Add(Misfits.Contradiction(runs, scale, options) ?? Misfits.NotDescribed(scale));
        }
        if (found.Agreeing < 2 && options.Starts > 1)
            screened.Doubts.Add(new("starts-disagree", "Fits from different starts end differently; the best of them is given.", "Add a sweep in the other connection or with another plate resistor."));
        return Result(problem, found, scale, screened);
    }

    internal sealed record Found(RobustFit Robust, int Starts, int Agreeing);

    internal static Found Search(TubeProblem problem, TubeFitOptions options)
    {
        var centre = problem.Centre;
        var engine = EngineOptions(problem, centre, static p => ConstantPriors.IsFault(p));
        RobustFit? best = null;
        var sums = new List<double>();
        var tried = 0;
        foreach (var start in Starts(centre).Take(Math.Max(1, options.Starts)))
        {
            tried++;
            var fit = RobustFit.Minimize(problem, start, engine, problem.Readings);
            if (fit.Fit.IsConverged) sums.Add(fit.Fit.SumOfSquares);
            if (best is null || (fit.Fit.IsConverged && (!best.Fit.IsConverged || fit.Fit.SumOfSquares < best.Fit.SumOfSquares))) best = fit;
            if (Agreeing() >= 2) break;
        }
        return new(best!, tried, Agreeing());

        int Agreeing() => sums.Count == 0 ? 0 : sums.Count(s => s <= sums.Min() * (1 + 1e-6) + 1e-6);
    }

    /// <summary>Bounds of the model; constants that are held have lowest and highest value alike.</summary>
    internal static FitOptions EngineOptions(TubeProblem problem, ReadOnlySpan<double> at, Func<TubeParameter, bool> held)
    {
        var lowest = new double[problem.ParameterCount];
        var highest = new double[problem.ParameterCount];
        Array.Fill(lowest, double.NegativeInfinity);
        Array.Fill(highest, double.PositiveInfinity);
        for (var k = 0; k < TubeCoordinates.All.Count; k++)
            (lowest[k], highest[k]) = held((TubeParameter)k) ? (at[k], at[k]) : TubeCoordinates.Range((TubeParameter)k);
        return new()
        {
            Lowest = lowest,
            Highest = highest,
            Tolerance = 1e-9,
            // A gentle pentode run alone has a long curved valley: some hundreds are met there.
            MostSteps = 1_000,
            FirstRadius = 0.1,
            Reach = [.. TubeCoordinates.All.Select(ConstantPriors.Width), .. problem.Nuisances.Select(_ => 1.0)],
        };
    }

    private static IEnumerable<double[]> Starts(double[] centre)
    {
        yield return centre;
        yield return Moved(-0.7, -0.2, -0.2, -1.5);
        yield return Moved(0.5, 0.3, 0.2, 0.5);

        double[] Moved(double perveance, double mu, double offset, double emission)
        {
            double[] start = [.. centre];
            start[(int)TubeParameter.Perveance] += perveance;
            start[(int)TubeParameter.ScreenMu] += mu;
            start[(int)TubeParameter.GridOffset] += offset;
            start[(int)TubeParameter.Emission] += emission;
            return start;
        }
    }

    private static RobustFit WithFaults(TubeProblem problem, RobustFit robust)
    {
        foreach (var fault in (TubeParameter[])[TubeParameter.GasRatio, TubeParameter.GridCathodeLeakSiemens])
        {
            var at = robust.Fit.Parameters;
            var engine = EngineOptions(problem, at, p => p != fault && ConstantPriors.IsFault(p));
            var freed = RobustFit.Minimize(problem, at, engine, problem.Readings);
            if (freed.Fit.IsConverged && freed.Wild.Count <= robust.Wild.Count && robust.Fit.SumOfSquares - freed.Fit.SumOfSquares > FaultShows * Math.Max(1, robust.Scale * robust.Scale))
                robust = freed;
        }
        return robust;
    }

    /// <summary>Root mean square of the readings' residuals, with the degrees of freedom that the constants took.</summary>
    internal static double Scale(TubeProblem problem, RobustFit robust)
    {
        double sum = 0;
        for (var i = 0; i < problem.Readings; i++) sum += robust.Fit.Residuals[i] * robust.Fit.Residuals[i];
        return Math.Sqrt(sum / Math.Max(1, problem.Readings - robust.Wild.Count - TubeCoordinates.All.Count));
    }

    private static FitFinding NotConverged(Fit fit) => new(
        "not-converged", $"The fit ended without a minimum ({fit.Status}).", "Look at the curve: a fit needs the slope and the cut-off of a tube. Sweep again, or choose the right type.");

    private static TubeModelFit Result(TubeProblem problem, Found found, double scale, RunScreening.Screened screened)
    {
        var fit = found.Robust.Fit;
        var factor = Math.Max(1, scale * scale);
        var n = TubeCoordinates.All.Count;
        var covariance = new double[n * n];
        for (var a = 0; a < n; a++)
            for (var b = 0; b < n; b++) covariance[a * n + b] = factor * fit.Decomposition!.Covariance(a, b);
        var result = new TubeModelFit(
            screened.Doubts.Count > 0 ? ModelFitStatus.Doubtful : ModelFitStatus.Good,
            [.. screened.Doubts, .. screened.Notes], problem.Tube(fit.Parameters), [], covariance, scale,
            problem.Readings - found.Robust.Wild.Count, found.Robust.Wild.Count, found.Starts, found.Agreeing,
            FitResiduals.Of(problem, found.Robust), FitResiduals.Range(problem))
        {
            Engine = fit,
            Problem = problem,
            Wild = found.Robust.Wild,
        };
        return result with { Constants = ConstantIntervals.Of(result) };
    }
}
