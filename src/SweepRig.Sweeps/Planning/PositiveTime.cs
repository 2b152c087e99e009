using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Planning;

/// <summary>Most time that a run spends above 0 V in any one minute.</summary>
internal static class PositiveTime
{
    private const double WindowSeconds = 60;

    /// <param name="passes">Passes in order, run without a break, which is the worst case.</param>
    /// <param name="pointSeconds">Time of one point.</param>
    /// <param name="positivePoints">Points of a pass above 0 V: the last ones going up, the first ones going down.</param>
    public static double WorstMinuteSeconds(IReadOnlyList<PassHeader> passes, double pointSeconds, Func<PassHeader, int> positivePoints)
    {
        if (passes.All(p => positivePoints(p) == 0)) return 0;
        var spans = new (double Start, double End)[passes.Count];
        var at = 0.0;
        for (var i = 0; i < spans.Length; i++)
        {
            var length = passes[i].Points * pointSeconds;
            var positive = positivePoints(passes[i]) * pointSeconds;
            spans[i] = passes[i].Direction == PassDirection.Up ? (at + length - positive, at + length) : (at, at + positive);
            at += length;
        }

        // The worst window ends where a span ends: sliding it on from there only loses time at its start.
        double worst = 0, within = 0;
        var first = 0;
        foreach (var span in spans)
        {
            within += span.End - span.Start;
            var opens = span.End - WindowSeconds;
            while (spans[first].End <= opens) within -= spans[first].End - spans[first++].Start;
            worst = Math.Max(worst, within - Math.Max(0, opens - spans[first].Start));
        }
        return worst;
    }
}
