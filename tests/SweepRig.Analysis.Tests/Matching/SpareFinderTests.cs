using SweepRig.Analysis.Grading;
using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Tests.Matching;

public sealed class SpareFinderTests
{
    private static readonly NamedQuantity Vol = new("vol", "V", "lowest output"), Gain = new("gain", "1", "gain");

    [Fact]
    public void Sure_ones_come_first_then_by_probability_then_what_breaks_a_limit_then_what_is_not_measured()
    {
        var ranked = Rank([new(Vol, null, 3, null)], Of(3.5), Of(2.95), new Dictionary<string, Figure>(), Of(2), Of(3.05), Of(1));
        // The two that are sure differ in the fifteenth digit of their probability.
        Assert.Equal([3, 5], ranked.Take(2).Select(r => r.Place).Order());
        Assert.Equal([1, 4, 0, 2], ranked.Skip(2).Select(r => r.Place));
        Assert.Equal(
            [Decision.Accept, Decision.Accept, Decision.Undecided, Decision.Undecided, Decision.Reject, Decision.Absent], ranked.Select(r => r.Chance.Decision));
    }

    // JCGM 106:2012, 7.4, with the uncertainty of a difference: two standard uncertainties of 0.06 V and 0.08 V are 0.1 V together, and a difference of 0 keeps within 0.1 V with a
    // probability of 0.6827 (normal table, one standard deviation either way).
    [Fact]
    public void A_tolerance_counts_the_uncertainty_of_both_tubes()
    {
        var own = new Dictionary<string, Figure> { ["vol"] = Figure.Of(2, "V", 0.06) };
        var ranked = SpareFinder.Rank([new(Vol, null, null, 0.1)], "SKUA-001", own, [new Dictionary<string, Figure> { ["vol"] = Figure.Of(2, "V", 0.08) }]);
        Assert.Equal(0.6827, ranked[0].Chance.Probably!.Value, 4);
        Assert.Equal(0, ranked[0].Distance);
        Assert.Contains("less that of SKUA-001", ranked[0].Chance.Limits[0].Says, StringComparison.Ordinal);
    }

    [Fact]
    public void Among_sure_ones_the_nearest_to_the_middle_comes_first()
    {
        var ranked = Rank([new(Vol, null, null, 2)], Of(3), Of(2.1), Of(1.5));
        Assert.Equal([1, 2, 0], ranked.Select(r => r.Place));
        Assert.Equal([0.05, 0.25, 0.5], ranked.Select(r => Math.Round(r.Distance!.Value, 9)));
    }

    [Fact]
    public void All_that_is_asked_must_be_kept()
    {
        var ranked = Rank([new(Vol, null, 3, null), new(Gain, 8, null, null)], Of(2, 12), Of(2, 5), Of(4, 12));
        Assert.Equal([Decision.Accept, Decision.Reject, Decision.Reject], ranked.Select(r => r.Chance.Decision));
        Assert.Null(ranked[0].Distance);
    }

    [Fact]
    public void A_tube_that_was_never_measured_cannot_set_a_tolerance()
    {
        var fault = Assert.Throws<ArgumentException>(() => SpareFinder.Rank([new(Vol, null, null, 0.1)], "SKUA-001", new Dictionary<string, Figure>(), []));
        Assert.Contains("SKUA-001 has no vol", fault.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => Rank([]));
    }

    private static IReadOnlyList<SpareCandidate> Rank(IReadOnlyList<KeptQuantity> kept, params IReadOnlyDictionary<string, Figure>[] candidates) =>
        SpareFinder.Rank(kept, "SKUA-001", Of(2, 12), candidates);

    private static Dictionary<string, Figure> Of(double vol, double gain = 12) => new() { ["vol"] = Figure.Of(vol, "V", 0.1), ["gain"] = Figure.Of(gain, "1", 0.2) };
}
