using SweepRig.Analysis.Families;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using static SweepRig.Analysis.Tests.Families.Bench;

namespace SweepRig.Analysis.Tests.Families;

public sealed class FamilyRefusalTests
{
    private static readonly double[] Drive = Analysis.Tests.Curves.Even(-6, 6, 1);
    private static readonly FamilyRun[] Good = [.. new[] { 4_700.0, 10_000, 22_000 }.Select(r => Run(With(ConnectionKind.Pentode, r), 1, Drive))];

    public static TheoryData<string> Cases => [.. Bad.Keys];

    private static readonly Dictionary<string, FamilyRun[]> Bad = new()
    {
        ["no-runs"] = [],
        ["screen-moves"] = [Run(With(ConnectionKind.Pentode, 10_000), 1, Drive, SteppedSource.PlateRail, 12, 20, 28)],
        ["heater-stepped"] = [.. Good, Run(With(ConnectionKind.Pentode, 15_000), 1, Drive, SteppedSource.Heater, 5, 6)],
        ["runs-differ"] = [.. Good, Run(With(ConnectionKind.Pentode, 15_000) with { GridStopper = new Ohms(47_000) }, 1, Drive)],
        ["too-few-curves"] = Good[..2],
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Runs_that_make_no_surface_are_refused_in_words(string code)
    {
        var outcome = PlateSurface.Of(Bad[code]);
        Assert.False(outcome.IsAccepted);
        var refusal = Assert.Single(outcome.Refusals);
        Assert.Equal(code, refusal.Code);
        Assert.True(refusal.Asked.Length > 0 && refusal.Allowed.Length > 0 && refusal.Remedy.EndsWith('.'));
    }

    [Fact]
    public void A_pentode_is_not_predicted_at_another_rail()
    {
        var refusal = Assert.Single(PlateSurface.Of(Good).Value!.Predict(new(new Volts(20), new Ohms(10_000))).Refusals);
        Assert.Equal("screen-would-move", refusal.Code);
        Assert.Contains("20 V", refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("28 V", refusal.Allowed, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, 10_000)]
    [InlineData(61, 10_000)]
    [InlineData(28, 0)]
    public void A_load_line_that_is_none_is_refused(double rail, double ohms) =>
        Assert.Equal("bad-load-line", Assert.Single(PlateSurface.Of(Good).Value!.Predict(new(new Volts(rail), new Ohms(ohms))).Refusals).Code);
}
