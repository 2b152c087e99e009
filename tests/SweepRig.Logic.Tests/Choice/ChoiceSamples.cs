using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Logic.Tests.Choice;

/// <summary>Networks and tubes to choose from.</summary>
internal static class ChoiceSamples
{
    public static GateRails Rails { get; } = new(28, -14, 6.3);

    public static GateNetwork Network(string word) => GateExamples.All.Single(e => e.Word == word).Make(Rails, new());

    public static IReadOnlyList<ChoiceTube> Lot(int count, int seed) =>
        [.. new LotSpread().Draw(ExampleTubes.Sound6AU6, seed, count).Select((p, n) => new ChoiceTube($"LOT-{n + 1:000}", new("V", "p", "s", "g", "0", Samples.Tube(p))))];

    public static ChoiceTube Tube(string number, double emission) => new(number, new("V", "p", "s", "g", "0", Samples.Tube(ExampleTubes.Sound6AU6 with { Emission = emission })));

    public static TubeChoiceResult Run(ChoiceOrder order)
    {
        var outcome = TubeChoice.Run(order, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}

/// <summary>Every placement, each measured: what a choice is held against.</summary>
internal static class Exhaustive
{
    /// <returns>The best first; numbers in the order of the positions.</returns>
    public static IReadOnlyList<(string[] Numbers, double Margin)> Of(ChoiceOrder order)
    {
        var problem = ChoiceProblem.Of(order, TestContext.Current.CancellationToken).Value!;
        var bench = new RowBench(problem);
        return [.. Placements(problem, []).Select(p => (p.Select(t => problem.Tubes[t].Number).ToArray(), bench.Margin(p, out _))).OrderByDescending(p => p.Item2)];
    }

    private static IEnumerable<int[]> Placements(ChoiceProblem problem, int[] begun) => begun.Length == problem.Positions.Length
        ? [begun]
        : problem.Allowed[begun.Length].Except(begun).SelectMany(t => Placements(problem, [.. begun, t]));
}
