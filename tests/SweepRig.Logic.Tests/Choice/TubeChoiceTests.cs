using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Tests.Choice;

public sealed class TubeChoiceTests
{
    [Theory]
    [InlineData("buffer", 7, 1)]
    [InlineData("nor", 7, 2)]
    [InlineData("latch", 5, 3)]
    [InlineData("latch", 4, 4)]
    [InlineData("nand-at-screen", 6, 5)]
    public void The_choice_is_the_best_of_all_placements(string word, int tubes, int seed)
    {
        var order = new ChoiceOrder(ChoiceSamples.Network(word), ChoiceSamples.Lot(tubes, seed));
        var result = ChoiceSamples.Run(order);
        var all = Exhaustive.Of(order);
        Assert.Equal(all[0].Margin, result.Best.MarginVolts, 3e-3);
        Assert.Equal(word != "latch", result.IsBoundFirm);
        if (result.IsBoundFirm)
        {
            Assert.True(result.BoundVolts >= all[0].Margin - 1e-3, $"{result.BoundVolts} {all[0].Margin}");
            Assert.Equal(result.Best.MarginVolts, result.BoundVolts, 5e-3);
        }
        Assert.Equal(all[1].Margin, result.RunnerUp!.MarginVolts, 0.02 * all[1].Margin);
        // By another way: every state let settle by itself.
        Assert.True(result.Check.IsRight);
        Assert.Equal(result.Check.WorstMarginVolts, result.Best.MarginVolts, 2e-3);
        Assert.Equal(order.Network.Positions, result.Best.NumberAt.Keys);
        Assert.Equal(order.Network.Positions.Count, result.Best.NumberAt.Values.Distinct().Count());
    }

    [Fact]
    public void The_best_pair_of_a_list_is_what_a_bistable_gets()
    {
        var values = new StageValues();
        var loop = new GateNetwork("loop", ChoiceSamples.Rails, [], ["q"], [new("q", GateKind.Nor, ["p"], values), new("p", GateKind.Nor, ["q"], values)]);
        var lot = ChoiceSamples.Lot(12, 9);
        var result = ChoiceSamples.Run(new(loop, lot));
        var pairs = BistablePairs.Of(ChoiceSamples.Rails, values, [.. lot.Select(t => t.Part!)], cancel: TestContext.Current.CancellationToken);
        // Squares take the stages as one-way; the pair chosen is among the foremost by them, and no pair is better by more than the dividers load.
        Assert.Equal(pairs[0].MarginVolts, result.Best.MarginVolts, 0.05 * pairs[0].MarginVolts);
        string[] foremost = [.. pairs.Take(5).SelectMany(p => (string[])[lot[p.First].Number, lot[p.Second].Number]).Distinct()];
        Assert.All(result.Best.NumberAt.Values, n => Assert.Contains(n, foremost));
    }

    [Fact]
    public void Pins_and_prohibitions_are_kept()
    {
        var lot = ChoiceSamples.Lot(6, 3);
        var free = new ChoiceOrder(ChoiceSamples.Network("buffer"), lot);
        var taken = ChoiceSamples.Run(free).Best.NumberAt;
        var pinned = free with
        {
            Pinned = new Dictionary<string, string> { ["V_x_1"] = lot.First(t => !taken.Values.Contains(t.Number)).Number },
            Forbidden = [taken["V_y_1"]],
        };
        var result = ChoiceSamples.Run(pinned);
        Assert.Equal(pinned.Pinned["V_x_1"], result.Best.NumberAt["V_x_1"]);
        Assert.DoesNotContain(taken["V_y_1"], result.Best.NumberAt.Values.Concat(result.Spares.SelectMany(s => s.Value.Select(t => t.Number))));
        Assert.Equal(Exhaustive.Of(pinned)[0].Margin, result.Best.MarginVolts, 3e-3);
        Assert.Empty(result.Spares["V_x_1"]);
    }

    [Fact]
    public void A_spare_has_the_margin_that_it_leaves()
    {
        var order = new ChoiceOrder(ChoiceSamples.Network("buffer"), ChoiceSamples.Lot(7, 6));
        var result = ChoiceSamples.Run(order);
        foreach (var (position, spares) in result.Spares)
        {
            Assert.Equal(3, spares.Count);
            Assert.Equal(spares.OrderByDescending(s => s.MarginVolts), spares);
            foreach (var spare in spares)
            {
                Assert.DoesNotContain(spare.Number, result.Best.NumberAt.Values);
                string NumberAt(string p) => p == position ? spare.Number : result.Best.NumberAt[p];
                var check = NetworkChecker.Check(order.Network, p => order.Stock.Single(t => t.Number == NumberAt(p)).Part!, result.Levels, TestContext.Current.CancellationToken);
                Assert.Equal(check.WorstMarginVolts, spare.MarginVolts, 2e-3);
            }
        }
    }

    [Fact]
    public void A_follower_gets_the_tube_with_the_least_emission_that_costs_no_margin()
    {
        var order = new ChoiceOrder(ChoiceSamples.Network("nand-at-screen"), [.. ChoiceSamples.Lot(5, 8), ChoiceSamples.Tube("WEAK-001", 0.02)]);
        var result = ChoiceSamples.Run(order);
        TubeModel Model(string number) => order.Stock.Single(t => t.Number == number).Part!.Model;
        var chosen = Model(result.Best.NumberAt["V_f_1"]).SaturationCurrent;
        Assert.All(Exhaustive.Of(order).Where(p => p.Margin > result.Best.MarginVolts + 1e-4), p => Assert.True(Model(p.Numbers[0]).SaturationCurrent >= chosen));
    }

    [Fact]
    public void A_dead_tube_is_not_chosen_though_nothing_else_says_so()
    {
        var order = new ChoiceOrder(ChoiceSamples.Network("buffer"), [ChoiceSamples.Tube("A-1", 1e-6), ChoiceSamples.Tube("A-2", 0.1), ChoiceSamples.Tube("A-3", 0.12)]);
        var result = ChoiceSamples.Run(order);
        Assert.DoesNotContain("A-1", result.Best.NumberAt.Values);
        Assert.All(result.Spares.Values, Assert.Empty);
    }
}
