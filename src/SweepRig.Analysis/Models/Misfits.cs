using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Models;

/// <summary>Why a model does not describe readings: the likely causes, each tried.</summary>
internal static class Misfits
{
    // Another explanation must shrink the misfit to this part before it is taken for the cause.
    private const double Explains = 0.4;

    private const double Fits = 2;

    /// <summary>Tries each run in the other connection. Only for screens that were not read: else <see cref="ConnectionReading"/> has told.</summary>
    public static FitFinding? WrongConnection(IReadOnlyList<ModelRun> runs, TubeProblem problem, double scale, TubeFitOptions options)
    {
        foreach (var run in runs)
        {
            if (run.Curves.Any(c => Array.Exists(c.Screen, double.IsFinite))) continue;
            var other = run with { Connection = run.Connection with { Kind = ConnectionReading.Other(run.Connection.Kind) } };
            var alone = ScaleOf([run], options);
            var turned = ScaleOf([other], options);
            if (turned < Explains * alone)
                return ConnectionReading.Wrong(run, run.Connection.Kind, $"the curve is that of a {ConnectionReading.Name(other.Connection.Kind)}: fitted so, the misfit shrinks from {Engineering.Format(alone, "", 2).Trim()} to {Engineering.Format(turned, "", 2).Trim()} times the scatter");
        }
        return null;
    }

    /// <summary>Runs that the model describes one by one but not together.</summary>
    public static FitFinding? Contradiction(IReadOnlyList<ModelRun> runs, double scale, TubeFitOptions options)
    {
        if (runs.Count < 2) return null;
        var alone = runs.Select(r => ScaleOf([r], options)).ToList();
        if (alone.Max() > Math.Max(Fits, double.IsFinite(scale) ? Explains * scale : 0)) return null;
        // The run without which the others agree best is the odd one, when there are enough to tell.
        var odd = "";
        if (runs.Count > 2)
        {
            var without = runs.Select((_, i) => ScaleOf([.. runs.Where((_, k) => k != i)], options)).ToList();
            var least = without.IndexOf(without.Min());
            if (without[least] < (double.IsFinite(scale) ? Explains * scale : Fits)) odd = $" Without {runs[least].Name} the others agree.";
        }
        return new(
            "contradictory-runs",
            (double.IsFinite(scale) ? $"Each run fits by itself, but together they miss by {Engineering.Format(scale, "", 2).Trim()} times their scatter." : "Each run fits by itself, but no tube fits all of them.") + odd,
            "They are not of one tube in one state: check tube, resistors and heater as recorded, and sweep all of them again in one go.");
    }

    public static FitFinding NotDescribed(double scale) => new(
        "not-described",
        $"The model misses the readings by {Engineering.Format(scale, "", 2).Trim()} times their scatter; the uncertainties were widened by as much, which does not make them sure.",
        "Look at the residuals: where they are large, the tube does what the model does not know, or the connection is not as recorded.");

    private static double ScaleOf(IReadOnlyList<ModelRun> runs, TubeFitOptions options)
    {
        var screened = RunScreening.Of(runs);
        if (screened.Passes.Count == 0) return double.PositiveInfinity;
        var problem = new TubeProblem(screened.Passes, options.Typical ?? ConstantPriors.Typical, options.Cancellation);
        var found = TubeFitter.Search(problem, options with { Starts = 2 });
        return found.Robust.Fit.IsConverged ? TubeFitter.Scale(problem, found.Robust) : double.PositiveInfinity;
    }
}
