using System.Text.Json;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class LogicCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_bistable_is_told_with_both_its_states_and_the_one_between()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "solve", File(Bistable())]);
        Assert.Equal(0, run.ExitCode);
        Assert.Empty(run.Error);
        Assert.StartsWith("bistable: 2 stable states, 1 that does not hold", run.Output, StringComparison.Ordinal);
        Assert.Contains("State 3, does not hold", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.Split('\n'), line => Assert.True(line.Length <= 100, line));
    }

    [Fact]
    public async Task Json_has_every_node_and_every_electrode()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "solve", File(Bistable()), "--json"]);
        using var json = JsonDocument.Parse(run.Output);
        var state = json.RootElement.GetProperty("states")[0];
        Assert.True(json.RootElement.GetProperty("addsUp").GetBoolean());
        Assert.Equal(Bistable().Nodes.Count, state.GetProperty("nodes").GetArrayLength());
        foreach (var tube in state.GetProperty("tubes").EnumerateArray())
        {
            Assert.Equal(
                tube.GetProperty("gridAmperes").GetDouble() + tube.GetProperty("screenAmperes").GetDouble() + tube.GetProperty("plateAmperes").GetDouble(),
                tube.GetProperty("cathodeAmperes").GetDouble(), 1e-15);
        }
        var sources = state.GetProperty("sources").EnumerateArray().Sum(s => s.GetProperty("watts").GetDouble());
        Assert.Equal(sources, state.GetProperty("watts").GetDouble(), 1e-12);
    }

    [Fact]
    public async Task A_netlist_is_whole()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "netlist", File(Bistable())]);
        Assert.Equal(0, run.ExitCode);
        Assert.StartsWith("* bistable\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("\nXV1 p s1 g1 0 tube_1\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("\n.nodeset ", run.Output, StringComparison.Ordinal);
        Assert.EndsWith(".end\n", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_that_was_never_swept_says_which_sweep_to_run()
    {
        var network = Bistable();
        var run = await CliRun.OfAsync(_data.Path, ["logic", "solve", File(network.With(network.Tubes.First() with { Number = "SKUA-014" }))]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("No whole sweep of tube SKUA-014", run.Error, StringComparison.Ordinal);
        Assert.Contains("sweeprig sweep", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Faults_of_a_network_come_all_at_once_with_their_places()
    {
        var text = """{"format":"network/1","name":"n","sources":[{"name":"E","plus":"B","volts":28},{"name":"F","plus":"B","volts":27}],"resistors":[{"name":"R","from":"B","to":"0","ohms":10},{"name":"S","from":"x","to":"y","ohms":10}]}""";
        var path = Path.Combine(_data.Path, "n.json");
        await System.IO.File.WriteAllTextAsync(path, text, TestContext.Current.CancellationToken);
        var run = await CliRun.OfAsync(_data.Path, ["logic", "solve", path]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("closes a loop of sources", run.Error, StringComparison.Ordinal);
        Assert.Contains("Node x has no way", run.Error, StringComparison.Ordinal);
        Assert.Contains("Node y has no way", run.Error, StringComparison.Ordinal);
        var absent = await CliRun.OfAsync(_data.Path, ["logic", "solve", Path.Combine(_data.Path, "none.json")]);
        Assert.Equal(2, absent.ExitCode);
        Assert.Contains("there is no such file", absent.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_is_taken_as_its_newest_sweep_has_it()
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(PlanExamples.GentlePentode));
        var stage = (double drive, double ohms) => $$"""{"format":"network/1","name":"stage","sources":[{"name":"E","plus":"B","volts":28},{"name":"in","plus":"in","volts":{{drive}}}],"resistors":[{"name":"Rp","from":"B","to":"p","ohms":{{ohms}}},{"name":"Rg","from":"in","to":"g","ohms":4700}],"tubes":[{"name":"V1","connection":"pentode","plate":"p","grid":"g","number":"skua-014","measured":true}]}""";
        var run = await SolveAsync(stage(-0.55, 10_000), "--json");
        Assert.True(run.ExitCode == 0, run.Error);
        using var json = JsonDocument.Parse(run.Output);
        var plate = json.RootElement.GetProperty("states")[0].GetProperty("nodes").EnumerateArray().Single(n => n.GetProperty("node").GetString() == "p").GetProperty("volts").GetDouble();
        // Where the tube itself is in its fixture, within a step of the drive, which is steep here, and the noise of a sample.
        var fixture = new FixtureSolver(PlanExamples.GentlePentode.Plan.Connection);
        var step = Examples.Rig.Drive.StepVolts;
        double At(double drive) => fixture.Solve(new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)), drive).Plate;
        Assert.InRange(plate, At(-0.55 + step) - 0.05, At(-0.55 - step) + 0.05);
        Assert.Contains("is taken as run", json.RootElement.GetProperty("remarks")[0].GetString(), StringComparison.Ordinal);
        Assert.Contains("extrapolated", (await SolveAsync(stage(3, 10_000))).Output, StringComparison.Ordinal);

        var other = await SolveAsync(stage(0, 22_000));
        Assert.Equal(2, other.ExitCode);
        Assert.Contains("plate resistor of 22000", other.Error, StringComparison.Ordinal);
        var triode = await SolveAsync(stage(0, 10_000).Replace("pentode", "triode", StringComparison.Ordinal));
        Assert.Contains("in triode connection is on record", triode.Error, StringComparison.Ordinal);

        Task<CliRun> SolveAsync(string text, params string[] more)
        {
            var path = Path.Combine(_data.Path, "stage.json");
            System.IO.File.WriteAllText(path, text);
            return CliRun.OfAsync(_data.Path, ["logic", "solve", path, .. more]);
        }
    }

    [Fact]
    public async Task Every_example_can_be_solved_as_it_is_written()
    {
        var list = await CliRun.OfAsync(_data.Path, ["logic", "example", "--json"]);
        using var json = JsonDocument.Parse(list.Output);
        var names = json.RootElement.GetProperty("networks").EnumerateArray().Select(n => n.GetProperty("name").GetString()!).ToList();
        Assert.Contains("full-adder", names);
        Assert.Contains("ring", names);
        foreach (var name in names.Except(["full-adder", "ring", "register", "shift-register"]))
        {
            var example = await CliRun.OfAsync(_data.Path, ["logic", "example", name]);
            var path = Path.Combine(_data.Path, name + ".json");
            await System.IO.File.WriteAllTextAsync(path, example.Output, TestContext.Current.CancellationToken);
            var solved = await CliRun.OfAsync(_data.Path, ["logic", "solve", path]);
            Assert.True(solved.ExitCode == 0, name + solved.Error);
            Assert.Contains(name is "latch" or "toggle" or "toggle-at-plates" or "clocked" or "ring-stage" ? "2 stable states" : "1 stable state", solved.Output, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task An_example_takes_tubes_of_the_stock_and_no_more_than_it_has_places()
    {
        var latch = await CliRun.OfAsync(_data.Path, ["logic", "example", "inverter", "--tube", "skua-014"]);
        Assert.Contains("\"number\": \"SKUA-014\"", latch.Output, StringComparison.Ordinal);
        var many = await CliRun.OfAsync(_data.Path, ["logic", "example", "inverter", "--tube", "A-1", "--tube", "A-2"]);
        Assert.Equal(2, many.ExitCode);
        Assert.Contains("inverter has 1 place.", many.Error, StringComparison.Ordinal);
        var unknown = await CliRun.OfAsync(_data.Path, ["logic", "example", "latsh"]);
        Assert.Contains("Did you mean latch?", unknown.Error, StringComparison.Ordinal);
    }

    private string File(Network network)
    {
        var path = Path.Combine(_data.Path, "network.json");
        Directory.CreateDirectory(_data.Path);
        System.IO.File.WriteAllText(path, NetworkWriter.Write(network));
        return path;
    }

    private static Network Bistable()
    {
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        IEnumerable<Part> Stage(string n, string from, string to) =>
        [
            new Resistor($"Rp{n}", "B", to, 10_000), new Resistor($"Ra{n}", from, $"m{n}", 100_000), new Resistor($"Rb{n}", $"m{n}", "C", 120_000), new Resistor($"Rs{n}", $"m{n}", $"g{n}", 4_700),
            new Resistor($"Rg2{n}", "B", $"s{n}", 100), new TubePart($"V{n}", to, $"s{n}", $"g{n}", "0", tube),
        ];
        return new("bistable", [new Source("rail", "B", "0", Waveform.Steady(28)), new Source("bias", "C", "0", Waveform.Steady(-14)), .. Stage("1", "q", "p"), .. Stage("2", "p", "q")]);
    }
}
