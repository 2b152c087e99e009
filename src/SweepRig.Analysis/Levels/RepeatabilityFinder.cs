using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Levels;

/// <summary>Pooled standard deviations over the repeats of a run (JCGM 100:2008, H.3.6 and 4.2.4): passes of one direction and one second source are alike.</summary>
internal static class RepeatabilityFinder
{
    public static Repeatability Find(IReadOnlyList<Curve> curves, IReadOnlyList<CurveLevels> levels)
    {
        var alike = Enumerable.Range(0, curves.Count)
            .GroupBy(i => (curves[i].Pass.Direction, curves[i].Pass.SecondSourceVolts, curves[i].Count))
            .Select(g => g.ToArray()).Where(g => g.Length > 1).ToArray();
        if (alike.Length == 0)
        {
            var none = Figure.None("V", "a single repeat says nothing of repeatability; sweep with two repeats or more");
            return new(none, none, none);
        }
        return new(
            Pooled(alike.SelectMany(group => Enumerable.Range(0, curves[group[0]].Count).Select(point => group.Select(i => curves[i].Plate[point]).ToArray())), "output"),
            Pooled(alike.Select(group => Values(group, i => levels[i].SwitchingDrive)), "switching drive"),
            Pooled(alike.Select(group => Values(group, i => levels[i].LowestOutput)), "lowest output"));
    }

    private static double[] Values(int[] group, Func<int, Figure> pick) => [.. group.Select(i => pick(i).Value).OfType<double>()];

    private static Figure Pooled(IEnumerable<double[]> sets, string name)
    {
        double squares = 0;
        var free = 0;
        foreach (var set in sets)
        {
            if (set.Length < 2 || !set.All(double.IsFinite)) continue;
            var mean = set.Average();
            squares += set.Sum(v => (v - mean) * (v - mean));
            free += set.Length - 1;
        }
        if (free == 0) return Figure.None("V", $"the {name} was found in fewer than two of the repeats");
        var deviation = Math.Sqrt(squares / free);
        // Of a standard deviation itself: JCGM 100:2008, E.4.3.
        return Figure.Of(deviation, "V", deviation / Math.Sqrt(2.0 * free)) with { CoverageFactor = Uncertainty.Coverage.Student(free, Uncertainty.Coverage.Probability) };
    }
}
