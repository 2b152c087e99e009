using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Levels;

/// <summary>The passes of an adaptive sweep as one curve. Pure.</summary>
public static class ScatteredPasses
{
    /// <summary>All points in the order of their drives; points at one drive become one, with the mean of their readings. Missing points are left out.</summary>
    /// <param name="passes">Of one run, under the same conditions; none gives none.</param>
    public static IReadOnlyList<Curve> Together(IReadOnlyList<Curve> passes)
    {
        ArgumentNullException.ThrowIfNull(passes);
        if (passes.Count == 0) return [];
        var points = passes.SelectMany(p => Enumerable.Range(0, p.Count).Where(i => double.IsFinite(p.Drive[i])).Select(i => (Pass: p, Point: i)))
            .GroupBy(p => p.Pass.Drive[p.Point]).OrderBy(g => g.Key).Select(g => g.ToArray()).ToArray();
        double[] Mean(Func<Curve, double[]> column) => passes.All(p => column(p).Length == p.Count)
            ? Array.ConvertAll(points, g => g.Average(p => column(p.Pass)[p.Point]))
            : [];
        return
        [
            new()
            {
                Pass = passes[0].Pass with { Points = points.Length },
                Drive = Mean(c => c.Drive),
                Grid = Mean(c => c.Grid),
                Plate = Mean(c => c.Plate),
                Screen = Mean(c => c.Screen),
                Supply = Mean(c => c.Supply),
                GridCurrent = Mean(c => c.GridCurrent),
                ScreenCurrent = Mean(c => c.ScreenCurrent),
                PlateCurrent = Mean(c => c.PlateCurrent),
                PlateUncertainty = Mean(c => c.PlateUncertainty),
                DriveUncertainty = Mean(c => c.DriveUncertainty),
                GridUncertainty = Mean(c => c.GridUncertainty),
                ScreenUncertainty = Mean(c => c.ScreenUncertainty),
                SupplyUncertainty = Mean(c => c.SupplyUncertainty),
                GridCurrentUncertainty = Mean(c => c.GridCurrentUncertainty),
                ScreenCurrentUncertainty = Mean(c => c.ScreenCurrentUncertainty),
                PlateCurrentUncertainty = Mean(c => c.PlateCurrentUncertainty),
                Flags = Array.ConvertAll(points, g => g.Aggregate(SampleFlags.None, (flags, p) => flags | p.Pass.Flags[p.Point])),
                SampledAtTicks = Array.ConvertAll(points, g => g.Max(p => p.Pass.SampledAtTicks[p.Point])),
            },
        ];
    }
}
