using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Wire.Campaign;

/// <summary>What a host put on record of one run, held against what the rig says it measured.</summary>
internal static class RecordCheck
{
    /// <returns>Samples that are wrong, with what is wrong about each.</returns>
    public static IReadOnlyList<string> Wrong(SweepRecord run, IReadOnlyList<JournalSample> measured)
    {
        // The rig takes one sample at a time, so its clock tells them apart.
        var byTime = measured.ToDictionary(s => s.AtMicroseconds);
        HashSet<(int Pass, int Point)> seen = [];
        List<string> wrong = [];
        foreach (var block in run.Blocks)
        {
            for (var i = 0; i < block.Count; i++)
            {
                var (pass, point, at) = (block.Pass, block.PointIndex[i], block.SampledAtTicks[i]);
                if (Fault(run.Header, block, i, byTime) is { } fault) wrong.Add($"pass {pass} point {point} at {at} us: {fault}");
                else if (!seen.Add((pass, point))) wrong.Add($"pass {pass} point {point} at {at} us: on record twice");
            }
        }
        return wrong;
    }

    /// <returns>Null when the gaps on record are just the points without a sample; else where they differ.</returns>
    public static string? GapFault(SweepRecord run)
    {
        var measured = run.Blocks.SelectMany(b => b.PointIndex.Select(p => (b.Pass, Point: (int)p))).ToHashSet();
        var missing = run.Gaps.SelectMany(g => Enumerable.Range(g.FirstPoint, g.Points).Select(p => (g.Pass, Point: p))).ToList();
        var planned = run.Header.Passes.SelectMany(p => Enumerable.Range(0, p.Points).Select(i => (Pass: p.Index, Point: i))).ToHashSet();
        if (missing.Count != missing.Distinct().Count()) return "a point is named missing twice";
        if (missing.Find(measured.Contains) is var both && missing.Exists(measured.Contains)) return $"{both} is named missing and was measured";
        var unnamed = planned.Where(p => !measured.Contains(p) && !missing.Contains(p)).ToList();
        return unnamed.Count > 0 ? $"{unnamed.Count} points, the first {unnamed[0]}, are neither measured nor named missing" : null;
    }

    private static string? Fault(RunHeader header, SampleBlock block, int i, Dictionary<long, JournalSample> byTime)
    {
        if (!byTime.TryGetValue(block.SampledAtTicks[i], out var truth)) return "the rig measured nothing then";
        var stored = new JournalSample(
            truth.Program, block.PointIndex[i], block.SampledAtTicks[i], block.DriveCode[i], block.Flags[i] & ~SampleFlags.Repeated, block.AveragedCount[i],
            block.Spread[i], Code(RigChannel.Plate), Code(RigChannel.Grid), Code(RigChannel.Screen), Code(RigChannel.Supply), Code(RigChannel.Drive));
        if (stored != truth) return $"{stored} on record, {truth} measured";
        var planned = Planned(header, header.Passes[block.Pass]).CodeAt(block.PointIndex[i]);
        return planned == truth.DriveCode ? null : $"code {truth.DriveCode} was driven, {planned} planned";

        ushort Code(RigChannel channel) => block.Codes[(int)channel] is { Length: > 0 } column ? column[i] : (ushort)0;
    }

    private static RigSegment Planned(RunHeader header, PassHeader pass)
    {
        var (low, high) = ((ushort)header.Rig.Drive.ToCode(header.Plan.Start), (ushort)header.Rig.Drive.ToCodeAtOrBelow(header.Plan.Stop));
        return pass.Direction == PassDirection.Up ? new(low, high, pass.Points, 0) : new(high, low, pass.Points, 0);
    }
}
