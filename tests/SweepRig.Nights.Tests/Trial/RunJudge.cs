using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Nights;

/// <summary>A run as the store has it, held against what its rig says that it measured.</summary>
internal static class RunJudge
{
    /// <param name="measured">Of the rig, since before the run began; one sample a time.</param>
    /// <returns>Samples that are otherwise on record than they were measured, or twice, with what is wrong about each.</returns>
    public static IReadOnlyList<string> Wrong(WitnessedRun run, IReadOnlyList<JournalSample> measured)
    {
        var byTime = measured.ToLookup(s => s.AtMicroseconds);
        HashSet<(int Pass, int Point)> seen = [];
        List<string> wrong = [];
        foreach (var block in run.Blocks)
        {
            for (var i = 0; i < block.Count; i++)
            {
                var stored = Sample(block, i);
                var what = byTime[stored.AtMicroseconds].ToArray() is not { Length: > 0 } truth ? "the rig measured nothing then"
                    : !truth.Any(t => t with { Program = 0 } == stored) ? $"{stored} on record, {truth[0]} measured"
                    : !seen.Add((block.Pass, block.PointIndex[i])) ? "on record twice"
                    : null;
                if (what is not null) wrong.Add($"run {run.Header.Id} pass {block.Pass} point {block.PointIndex[i]} at {stored.AtMicroseconds} us: {what}");
            }
        }
        return wrong;
    }

    /// <returns>Null when every planned point of a complete run is measured or named missing, and none both; else what is not so.</returns>
    public static string? GapFault(WitnessedRun run)
    {
        if (run.State != RunState.Complete || run.Header.Plan.Adaptive is not null) return null;
        var measured = run.Blocks.SelectMany(b => b.PointIndex.Select(p => (b.Pass, Point: (int)p))).ToHashSet();
        var missing = run.Gaps.SelectMany(g => Enumerable.Range(g.FirstPoint, g.Points).Select(p => (g.Pass, Point: p))).ToHashSet();
        var planned = run.Header.Passes.SelectMany(p => Enumerable.Range(0, p.Points).Select(i => (Pass: p.Index, Point: i)));
        if (missing.Overlaps(measured)) return $"run {run.Header.Id}: a point is named missing and was measured";
        return planned.Where(p => !measured.Contains(p) && !missing.Contains(p)).ToArray() is [var first, ..] unnamed
            ? $"run {run.Header.Id}: {unnamed.Length} points, the first {first}, are neither measured nor named missing"
            : null;
    }

    private static JournalSample Sample(SampleBlock block, int i)
    {
        return new(
            0, block.PointIndex[i], block.SampledAtTicks[i], block.DriveCode[i], block.Flags[i] & ~SampleFlags.Repeated, block.AveragedCount[i],
            block.Spread[i], Code(RigChannel.Plate), Code(RigChannel.Grid), Code(RigChannel.Screen), Code(RigChannel.Supply), Code(RigChannel.Drive));

        ushort Code(RigChannel channel) => block.Codes[(int)channel] is { Length: > 0 } column ? column[i] : (ushort)0;
    }
}
