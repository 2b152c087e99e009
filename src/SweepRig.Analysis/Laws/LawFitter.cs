using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Laws;

/// <summary>Fits the plain laws to the runs of a tube. Only points with the drive below 0 V and no drop over the grid stopper are taken. Pure.</summary>
/// <remarks>Uncertainties are those of the scatter, widened where the law misses the readings; what calibration and resistors leave unknown is not in them.</remarks>
public static class LawFitter
{
    // A constant is given when the data tell it to this part of itself.
    private const double Determined = 0.3;

    // Residuals beyond this many times their scatter on the whole: the law does not describe the readings.
    private const double Misfit = 3;

    /// <param name="law">Which; of the runs those in its connection are taken.</param>
    /// <param name="runs">Of one tube.</param>
    public static LawFit Fit(PlainLaw law, IReadOnlyList<ModelRun> runs)
    {
        ArgumentNullException.ThrowIfNull(runs);
        var form = LawForm.Of(law);
        var name = ConnectionReading.Name(form.Connection);
        var fitting = runs.Where(r => r.Connection.Kind == form.Connection).ToList();
        if (fitting.Count == 0)
            return LawFit.None(law, [new("wrong-connection", $"None of the runs is in {name} connection, which this law is for.", $"Sweep the tube in {name} connection.")]);
        var screened = RunScreening.Of(fitting);
        if (screened.Refusals.Count > 0) return LawFit.None(law, screened.Refusals);
        var problem = new LawProblem(screened.Passes, form);
        var points = problem.Channels.Where(c => c.Data.Place == VoltagePlace.Plate).Sum(c => c.Points.Length);
        if (points < RunScreening.LeastPoints)
        {
            return LawFit.None(law, [new(
                "too-few-points", $"There are {points} points with the grid below 0 V and without grid current; this law needs at least {RunScreening.LeastPoints}.",
                "Sweep again with 64 points or more from cut-off to 0 V of drive.")]);
        }
        FitOptions options = new()
        {
            Lowest = [.. form.Terms.Select(t => Math.Log(t.Lowest))], Highest = [.. form.Terms.Select(t => Math.Log(t.Highest))],
            Tolerance = 1e-10, MostSteps = 200, FirstRadius = 0.1,
        };
        var best = MultiStart.Minimize(problem, form.Starts.Select(s => Array.ConvertAll(s, Math.Log)), options).Best;
        var robust = RobustFit.Minimize(problem, best.Parameters, options);
        if (!robust.Fit.IsConverged)
            return LawFit.None(law, [new("not-converged", $"The fit ended without a minimum ({robust.Fit.Status}).", "Look at the curve: this law may not describe the tube at this rail; the model of the tube may."), .. screened.Doubts]);
        return Result(law, form, problem, robust, screened);
    }

    private static LawFit Result(PlainLaw law, LawForm form, LawProblem problem, RobustFit robust, RunScreening.Screened screened)
    {
        var fit = robust.Fit;
        var scale = Math.Sqrt(fit.ResidualVariance);
        var values = LawProblem.Constants(fit.Parameters);
        var relative = Array.ConvertAll(fit.Uncertainties(), u => u * Math.Max(1, scale));
        List<FitFinding> findings = [.. screened.Doubts, .. screened.Notes];
        if (scale > Misfit) findings.Add(NotDescribed(scale));
        var residuals = Residuals(problem, robust);
        return new(law, form.Connection, findings, [.. form.Terms.Select(Constant)], scale, OutputRms(residuals), residuals) { Values = values };

        LawConstant Constant(LawTerm term, int k) => new(term.Symbol,
            fit.AtBound[k] ? Figure.None(term.Unit, $"the fit ends at {Engineering.Format(values[k], "", 3).Trim()}, the edge of what is sensible; the other constants are told with it held there")
            : relative[k] <= Determined ? Figure.Of(values[k], term.Unit, values[k] * relative[k])
            : Figure.None(term.Unit, "these runs do not determine it: other constants make up for it; a family over several rails would tell more"));
    }

    private static FitFinding NotDescribed(double scale) => new(
        "not-described",
        $"This law misses the readings by {Engineering.Format(scale, "", 2).Trim()} times their scatter; the uncertainties were widened by as much, which does not make them sure.",
        "Use it to compare with others' figures, and the model of the tube to predict.");

    /// <summary>Over the readings of the output that are not wild. Unit: V.</summary>
    internal static double OutputRms(IEnumerable<PassResiduals> residuals)
    {
        double sum = 0;
        var count = 0;
        foreach (var pass in residuals.Where(r => r.Place == VoltagePlace.Plate))
            for (var i = 0; i < pass.Residual.Length; i++)
            {
                if (pass.Wild[i]) continue;
                sum += pass.Residual[i] * pass.ScatterVolts * pass.Residual[i] * pass.ScatterVolts;
                count++;
            }
        return Math.Sqrt(sum / count);
    }

    private static PassResiduals[] Residuals(LawProblem problem, RobustFit robust)
    {
        var all = new double[problem.ResidualCount];
        problem.Evaluate(robust.Fit.Parameters, all, []);
        return [.. problem.Channels.Select(c => new PassResiduals(
            c.Pass.Run.Name, c.Pass.Curve.Pass.Index, c.Data.Place, Array.ConvertAll(c.Points, i => c.Pass.Drive[i]), all[c.First..(c.First + c.Points.Length)], c.Data.Scatter,
            [.. c.Points.Select((_, k) => robust.Wild.Contains(c.First + k))]))];
    }
}
