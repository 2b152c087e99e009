using SweepRig.Logic.Building;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Building;

public sealed class BuildCheckTests
{
    private static readonly BuildPlan HalfAdder = PartsListTests.Plan(GateExamples.HalfAdder(new(28, -14, 6.3), new()));
    private static readonly BuildPlan Inverters = PartsListTests.Plan(GateExamples.Buffer(new(28, -14, 6.3), new()));
    private static readonly TubePart[] Stock = [new("V", "p", "s", "g", "0", Samples.Tube(ExampleTubes.Sound6BH6)) { Number = "TERN-003" }];

    [Fact]
    public void Every_fault_planted_in_a_half_adder_is_found_or_named_among_those_that_look_alike()
    {
        // Signals and grids, every row: what a person with one meter reads in a quarter of an hour.
        string[] nodes = [.. HalfAdder.Nodes.Where(n => !n.Contains('_', StringComparison.Ordinal) || n[0] == 'g')];
        var faults = BuildFaults.Of(HalfAdder, Stock);
        ReadingPoint[] points = [.. HalfAdder.Rows.SelectMany(r => nodes.Select(n => new ReadingPoint(n, r.Name, TestVoltages.UsualMeterOhms)))];
        var dictionary = FaultDictionary.Of(HalfAdder, faults, points, BuildTolerances.Usual, TestContext.Current.CancellationToken);
        FaultJudge? judge = null;
        int found = 0, first = 0;
        var sets = new List<int>();
        var missed = new List<string>();
        for (var f = 0; f < faults.Count; f++)
        {
            var readings = PlantedBuild.Read(HalfAdder, faults[f], BuildTolerances.Usual, nodes, (ulong)(f + 1));
            judge ??= BuildCheck.JudgeOf(dictionary, readings);
            var verdict = BuildCheck.Judge(judge, readings);
            if (verdict.Explanations[0].Fault == faults[f]) first++;
            if (verdict.Explanations.Any(e => e.Fault == faults[f])) found++;
            else missed.Add($"{faults[f].Says} (said: {verdict.Explanations[0].Fault.Says}, {verdict.Explanations[0].Misfit:0})");
            sets.Add(verdict.Explanations.Count);
        }
        sets.Sort();
        TestContext.Current.TestOutputHelper?.WriteLine($"{faults.Count} faults, {found} found, {first} of them first; sets of {sets[sets.Count / 2]} in the middle, {sets[sets.Count * 9 / 10]} at nine tenths, {sets[^1]} at most");
        foreach (var miss in missed) TestContext.Current.TestOutputHelper?.WriteLine(miss);
        Assert.True(found >= 0.95 * faults.Count, string.Join(Environment.NewLine, missed));
        // A set that held everything would be right and useless.
        Assert.InRange(sets[sets.Count / 2], 1, 4);
    }

    [Fact]
    public void A_dead_tube_is_told_in_words_with_what_to_read_next()
    {
        var dead = BuildFaults.Of(Inverters, []).Single(f => f.Says.StartsWith("V_y_1 gives nothing", StringComparison.Ordinal));
        // The output alone: high whatever the input.
        var verdict = Run(PlantedBuild.Read(Inverters, dead, BuildTolerances.Usual, ["y"], 3));
        Assert.False(verdict.IsSound);
        Assert.True(verdict.IsExplained);
        Assert.Contains(verdict.Explanations, e => e.Fault.Says == dead.Says);
        Assert.NotEmpty(verdict.Next);
        Assert.Contains(verdict.Says, s => s.StartsWith("Read ", StringComparison.Ordinal) && s.Contains("if V_y_1 gives nothing", StringComparison.Ordinal));
        // What it asks for tells more: fewer explanations are left, the right one among them.
        var more = Run(PlantedBuild.Read(Inverters, dead, BuildTolerances.Usual, ["y", .. verdict.Next.Select(n => n.Node).Distinct()], 3));
        Assert.True(more.Explanations.Count < verdict.Explanations.Count);
        Assert.Contains(more.Explanations, e => e.Fault.Says == dead.Says);
    }

    [Fact]
    public void A_sound_build_is_called_sound_and_two_faults_are_not_called_one()
    {
        var sound = Run(PlantedBuild.Read(Inverters, BuildFault.None, BuildTolerances.Usual, Inverters.Nodes, 5));
        Assert.True(sound.IsSound);
        Assert.Contains("nothing speaks against", sound.Says[0], StringComparison.Ordinal);
        var faults = BuildFaults.Of(Inverters, []);
        var (first, second) = (faults.First(f => f.Says.StartsWith("V_x_1 gives nothing", StringComparison.Ordinal)), faults.First(f => f.Says.StartsWith("Rb_y_1 is open", StringComparison.Ordinal)));
        var both = Run(PlantedBuild.Read(Inverters, new("", "both", "") { Apply = n => second.Apply(first.Apply(n)) }, BuildTolerances.Usual, Inverters.Nodes, 5));
        Assert.False(both.IsExplained);
        Assert.Contains("No single fault", both.Says[0], StringComparison.Ordinal);
    }

    [Fact]
    public void The_resistance_of_the_meter_is_part_of_what_is_expected()
    {
        // Half a megohm at a grid behind 60 k pulls it by a tenth: sound for that meter, a fault for one of 10 M.
        var readings = PlantedBuild.Read(Inverters, BuildFault.None, BuildTolerances.Usual, Inverters.Nodes, 9, 100_000);
        Assert.True(Run(readings).IsSound);
        Assert.False(Run([.. readings.Select(r => r with { MeterOhms = 10e6 })]).IsSound);
    }

    [Theory]
    [InlineData("yy", "a=0", 1.0, 1e7, "node-unknown")]
    [InlineData("y", "a=2", 1.0, 1e7, "row-unknown")]
    [InlineData("y", "a=0", 1200.0, 1e7, "volts-out-of-range")]
    [InlineData("y", "a=0", double.NaN, 1e7, "volts-out-of-range")]
    [InlineData("y", "a=0", 1.0, 10.0, "meter-out-of-range")]
    public void What_cannot_be_a_reading_is_refused(string node, string row, double volts, double meter, string code)
    {
        var outcome = BuildCheck.Run(Inverters, [new("y", "a=1", 3), new(node, row, volts, meter)], [], BuildTolerances.Usual, TestContext.Current.CancellationToken);
        var refusal = Assert.Single(outcome.Refusals);
        Assert.Equal(code, refusal.Code);
        Assert.StartsWith("/readings/1/", refusal.Path, StringComparison.Ordinal);
        Assert.Equal("no-readings", Assert.Single(BuildCheck.Run(Inverters, [], [], BuildTolerances.Usual, TestContext.Current.CancellationToken).Refusals).Code);
    }

    private static BuildVerdict Run(IReadOnlyList<BuildReading> readings)
    {
        var outcome = BuildCheck.Run(Inverters, readings, [], BuildTolerances.Usual, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}
