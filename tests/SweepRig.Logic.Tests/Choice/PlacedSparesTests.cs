using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Tests.Choice;

public sealed class PlacedSparesTests
{
    [Fact]
    public void The_spares_of_a_place_are_the_best_of_all_that_are_free_and_leave_the_margin_that_is_said()
    {
        var network = ChoiceSamples.Network("buffer");
        TubePart[] lot = [.. ChoiceSamples.Lot(7, 6).Select(t => t.Part! with { Number = t.Number })];
        var placed = new Dictionary<string, TubePart> { ["V_x_1"] = lot[0], ["V_y_1"] = lot[1] };
        var found = PlacedSpares.Find(network, p => placed[p], lot, 3, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(Margin(network, placed), found.MarginVolts, 1e-9);
        Assert.Equal(network.Positions, found.Spares.Keys);
        foreach (var (position, spares) in found.Spares)
        {
            // Every free tube tried at the place, one by one: none that is left out is better by more than what margins are good to.
            var all = lot[2..].ToDictionary(t => t.Number!, t => Margin(network, new(placed) { [position] = t }));
            Assert.All(spares, s => Assert.Equal(all[s.Number], s.MarginVolts, 1e-9));
            Assert.Equal(spares.OrderByDescending(s => s.MarginVolts), spares);
            var rest = all.Where(a => a.Value > 0 && spares.All(s => s.Number != a.Key)).Select(a => a.Value);
            Assert.All(rest, margin => Assert.True(margin <= spares[^1].MarginVolts + 5e-3, $"{position}: {margin} V"));
        }
    }

    [Fact]
    public void A_gate_that_a_dead_tube_makes_wrong_has_its_spares_only_where_that_tube_stands()
    {
        var network = ChoiceSamples.Network("buffer");
        TubePart dead = ChoiceSamples.Tube("A-1", 1e-6).Part! with { Number = "A-1" }, sound = ChoiceSamples.Tube("A-2", 0.1).Part! with { Number = "A-2" }, example = ChoiceSamples.Tube("", 0.12).Part!;
        var found = PlacedSpares.Find(network, p => p == "V_y_1" ? dead : example, [sound, dead], 3, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(0, found.MarginVolts);
        Assert.Empty(found.Spares["V_x_1"]);
        Assert.Equal("A-2", Assert.Single(found.Spares["V_y_1"]).Number);
    }

    private static double Margin(GateNetwork network, Dictionary<string, TubePart> placed) =>
        NetworkChecker.Check(network, p => placed[p], TestContext.Current.CancellationToken).Value?.WorstMarginVolts ?? 0;
}
