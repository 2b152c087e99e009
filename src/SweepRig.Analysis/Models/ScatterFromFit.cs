using SweepRig.Analysis.Fitting;
using SweepRig.Domain.Measurement;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>Scatter of the channels of runs whose points have no neighbours, as a fit leaves it over: what the rig told of each average is a beginning only.</summary>
internal static class ScatterFromFit
{
    // Further down than this a fit follows its readings rather than to smooth them; further up it is no description, and its scale says so.
    private const double LeastFactor = 0.3, MostFactor = 4;

    // Within this the scatter told is as good.
    private const double Alike = 0.1;

    /// <summary>The problem with such scatters; null where no run needs it.</summary>
    public static TubeProblem? Of(TubeProblem problem, RobustFit robust, TubeParameters typical)
    {
        if (!problem.Passes.Any(p => p.Run.HasScatteredPoints)) return null;
        var wild = robust.Wild.ToHashSet();
        var squares = new Dictionary<(ModelRun Run, VoltagePlace Place), (double Sum, int Count)>();
        var row = 0;
        foreach (var pass in problem.Passes)
            foreach (var channel in pass.Channels)
            {
                var (sum, count) = squares.GetValueOrDefault((pass.Run, channel.Place));
                for (var i = 0; i < pass.Count; i++, row++)
                    if (!wild.Contains(row)) (sum, count) = (sum + robust.Fit.Residuals[row] * robust.Fit.Residuals[row], count + 1);
                squares[(pass.Run, channel.Place)] = (sum, count);
            }
        // Each constant takes its part of the freedom from all readings alike.
        var readings = problem.Readings - wild.Count;
        var freedom = Math.Max(1, readings - TubeCoordinates.All.Count) / (double)readings;
        double Factor(ModelRun run, VoltagePlace place) =>
            run.HasScatteredPoints && squares[(run, place)] is { Count: > 0 } found ? Math.Clamp(Math.Sqrt(found.Sum / (found.Count * freedom)), LeastFactor, MostFactor) : 1;
        return squares.Keys.Any(k => Math.Abs(Factor(k.Run, k.Place) - 1) > Alike)
            ? new(problem.Passes.Select(p => p.WithScatter(place => Factor(p.Run, place))).ToList(), typical)
            : null;
    }
}
