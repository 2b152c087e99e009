using SweepRig.Analysis.Designs;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Designs;

/// <summary>Runs an adaptive sweep to its end on a simulated bench.</summary>
internal static class AdaptiveSweeps
{
    /// <summary>Even points to begin with.</summary>
    public const int First = AdaptiveRule.DefaultFirst;

    public const int Batch = AdaptiveRule.DefaultBatch;

    private const int MostPoints = 400;

    public sealed record Result(int Points, Figure Switching, IReadOnlyList<double> Drives);

    public static Result Run(SimulatedRuns bench, TubeParameters tube, Connection connection, double from, double to, double wanted, TubeParameters typical)
    {
        List<ModelRun> runs = [bench.Run(tube, connection, SimulatedRuns.Even(from, to, First))];
        List<double> drives = [.. runs[0].Curves[0].Drive];
        while (true)
        {
            var step = AdaptiveSweep.Next(Fit(runs, typical), drives, connection, runs[0].Known, from, to, Batch, wanted);
            if (step.Drives.Count == 0 || drives.Count >= MostPoints) return new(drives.Count, step.Switching, drives);
            runs.Add(bench.Run(tube, connection, [.. step.Drives]));
            drives.AddRange(step.Drives);
        }
    }

    /// <summary>All points together; batches of a sweep are passes of one run.</summary>
    public static TubeModelFit Fit(IReadOnlyList<ModelRun> runs, TubeParameters typical) =>
        TubeFitter.Fit([runs[0] with { Curves = [.. runs.SelectMany(r => r.Curves)], HasScatteredPoints = true }], new() { Typical = typical });
}
