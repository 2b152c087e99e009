using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Tests.Choice;

public sealed class TubeChoiceRefusalTests
{
    private static readonly ChoiceOrder Good = new(ChoiceSamples.Network("buffer"), ChoiceSamples.Lot(3, 1));

    [Fact]
    public void Too_few_tubes_are_refused_with_both_counts_and_what_to_sweep()
    {
        var refusal = Refused(Good with { Stock = [Good.Stock[0], new("LOT-077", null)] });
        Assert.Equal("too-few-tubes", refusal.Code);
        Assert.Contains("2 positions", refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("1 tubes can be used", refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("LOT-077", refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Forbidden_tubes_count_as_missing() => Assert.Equal("too-few-tubes", Refused(Good with { Forbidden = ["lot-001", "LOT-002"] }).Code);

    [Fact]
    public void A_pinned_tube_without_a_model_says_which_sweep_to_run()
    {
        var refusal = Refused(Good with { Stock = [.. Good.Stock, new("LOT-077", null)], Pinned = new Dictionary<string, string> { ["V_x_1"] = "LOT-077" } });
        Assert.Equal("no-model", refusal.Code);
        Assert.Contains("sweeprig sweep gentle-pentode --tube LOT-077", refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_tube_that_is_not_pinned_and_has_no_model_is_left_out_and_named()
    {
        var result = ChoiceSamples.Run(Good with { Stock = [.. Good.Stock, ChoiceTube.From(EmptyShelf.Instance, "LOT-077")] });
        var left = Assert.Single(result.LeftOut);
        Assert.Equal("LOT-077", left.Number);
        Assert.Contains("Write its constants into the network", left.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("V_x_1", "LOT-009", "no-such-tube")]
    [InlineData("V_z_1", "LOT-001", "no-such-position")]
    public void A_pin_must_name_what_there_is(string position, string number, string code) =>
        Assert.Equal(code, Refused(Good with { Pinned = new Dictionary<string, string> { [position] = number } }).Code);

    [Fact]
    public void A_tube_cannot_stand_twice()
    {
        Assert.Equal("tube-used-twice", Refused(Good with { Pinned = new Dictionary<string, string> { ["V_x_1"] = "LOT-001", ["V_y_1"] = "lot-001" } }).Code);
        Assert.Equal("tube-listed-twice", Refused(Good with { Stock = [.. Good.Stock, Good.Stock[0]] }).Code);
        Assert.Equal("pinned-and-forbidden", Refused(Good with { Pinned = new Dictionary<string, string> { ["V_x_1"] = "LOT-001" }, Forbidden = ["LOT-001"] }).Code);
    }

    [Fact]
    public void Tubes_that_restore_nothing_are_refused() =>
        Assert.Equal("levels-not-restored", Refused(Good with { Stock = [ChoiceSamples.Tube("A-1", 1e-6), ChoiceSamples.Tube("A-2", 1e-6)] }).Code);

    [Fact]
    public void A_network_that_no_placement_makes_right_is_refused()
    {
        // One tube does and the other does not: whichever is first, a signal is wrong.
        var refusal = Refused(Good with { Stock = [ChoiceSamples.Tube("A-1", 0.12), ChoiceSamples.Tube("A-2", 1e-6)] });
        Assert.Equal("no-placement", refusal.Code);
        Assert.Contains("2 tubes", refusal.Asked, StringComparison.Ordinal);
    }

    [Fact]
    public void More_cases_than_can_be_looked_at_are_refused()
    {
        string[] inputs = [.. Enumerable.Range(0, 14).Select(n => $"i{n}")];
        var wide = new GateNetwork("wide", ChoiceSamples.Rails, inputs, ["y"], [new("y", GateKind.Nor, inputs, new())]);
        Assert.Equal("too-many-cases", Refused(new(wide, ChoiceSamples.Lot(30, 1))).Code);
    }

    private static Domain.Refusal Refused(ChoiceOrder order) => Assert.Single(TubeChoice.Run(order, TestContext.Current.CancellationToken).Refusals);
}
