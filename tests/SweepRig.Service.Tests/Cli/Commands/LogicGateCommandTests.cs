using System.Text.Json;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class LogicGateCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("levels", "largest square")]
    [InlineData("check half-adder", "half-adder: right in all 4 rows, margin ")]
    [InlineData("yield inverter --trials 100", "inverter: ")]
    [InlineData("timing inverter", "a up    y down")]
    [InlineData("map inverter --steps 3 --limit 0.5", "Alone, the plate rail may be ")]
    [InlineData("map inverter --against bias --plate-span 20..36 --other-span -16..-6 --steps 3", "margin in volts by plate rail (across) and bias rail")]
    [InlineData("test-voltages inverter", "a=0: set a to ")]
    [InlineData("search --series E12 --plate 10000..15000 --divider 82000..120000", "Margin ")]
    public async Task An_example_tube_serves_where_none_is_named(string asked, string says)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", .. asked.Split(' ')]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains(says, run.Output, StringComparison.Ordinal);
        Assert.Contains("an example 6AU6, none of yours", run.Output.Replace("These are an", "an", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_lot_gives_its_pairs_and_json_has_the_names_of_rest()
    {
        await ModelledLot.StoreAsync(_data.Path, 5);
        var run = await CliRun.OfAsync(_data.Path, ["logic", "pair", "--lot", "skua", "--json"]);
        using var json = JsonDocument.Parse(run.Output);
        Assert.Equal(3, json.RootElement.GetProperty("lookedAt").GetInt32());
        Assert.StartsWith("SKUA-", json.RootElement.GetProperty("pairs")[0].GetProperty("first").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Spares_are_named_for_each_place_with_the_margin_that_the_check_then_finds()
    {
        await ModelledLot.StoreAsync(_data.Path, 5);
        var spares = JsonElement.Parse((await CliRun.OfAsync(_data.Path, ["logic", "spares", "inverter", "--tube", "SKUA-001", "--json"])).Output);
        var best = Assert.Single(spares.GetProperty("places").EnumerateArray()).GetProperty("tubes")[0];
        var number = best.GetProperty("number").GetString()!;
        var check = JsonElement.Parse((await CliRun.OfAsync(_data.Path, ["logic", "check", "inverter", "--tube", number, "--json"])).Output);
        Assert.Equal(check.GetProperty("marginVolts").GetDouble(), best.GetProperty("marginVolts").GetDouble(), 1e-9);
        var text = await CliRun.OfAsync(_data.Path, ["logic", "spares", "inverter", "--tube", "SKUA-001", "--lot", "skua"]);
        Assert.Contains($"V_y_1  {number} ", text.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_gate_that_is_wrong_ends_with_another_code()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "check", "nor-at-grid", "--lower", "39000"]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("wrong", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("check nor-at-grid")]
    [InlineData("check nand-at-grid")]
    [InlineData("check nand-at-grid --triode")]
    [InlineData("check nand-at-grid --upper 91000")]
    [InlineData("levels --gate nand-at-grid")]
    [InlineData("levels --gate nor-at-grid --fan-out 2")]
    public async Task A_gate_at_one_grid_is_right_with_the_values_that_it_has_where_none_are_given(string asked)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", .. asked.Split(' ')]);
        Assert.True(run.ExitCode == 0, run.Output + run.Error);
        Assert.DoesNotContain("wrong", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("No levels", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_gate_at_one_grid_with_the_divider_of_an_inverter_says_which_resistor_to_change()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "check", "nand-at-grid", "--lower", "120000"]);
        Assert.NotEqual(0, run.ExitCode);
        Assert.Contains("Lower the lower resistor of the divider", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("levels --tube SKUA-014", "sweeprig sweep gentle-pentode --tube SKUA-014")]
    [InlineData("pair --lot Skua", "sweeprig stock book")]
    [InlineData("search --series E13", "E12, E24 or E96")]
    [InlineData("search --plate 20000..10000", "above 0 and rising")]
    [InlineData("levels --plate-rail 90", "Extra-low voltage only")]
    [InlineData("check half-addr", "Did you mean half-adder?")]
    [InlineData("levels --gate nand-at-gird", "Did you mean nand-at-grid?")]
    [InlineData("spares nor", "sweeprig stock book")]
    [InlineData("spares nor --spares 0", "The best come first.")]
    [InlineData("timing invertor", "Did you mean inverter?")]
    [InlineData("map inverter --plate-span 20", "Write for example 14..36.")]
    [InlineData("map inverter --plate-span 20..55", "End lower.")]
    [InlineData("map inverter --against heater", "screen or bias")]
    [InlineData("test-voltages inverter --meter 5", "10 megohms are usual")]
    public async Task What_cannot_be_answered_says_what_to_do(string asked, string remedy)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", .. asked.Split(' ')]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
    }
}
