using SweepRig.Logic.Building;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Building;

public sealed class PartsListTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public void A_half_adder_takes_what_its_drawing_shows()
    {
        var plan = Plan(GateExamples.HalfAdder(Rails, new() { SpeedUpFarads = 47e-12 }));
        var list = PartsList.Of(plan, BuildTolerances.Usual);
        Assert.Equal(plan.Network.Tubes.Select(t => t.Name), list.Tubes.Select(t => t.Position));
        Assert.All(list.Tubes, t => Assert.Equal("SKUA-" + t.Position, t.Number));
        Assert.Equal([(100.0, 8), (4_700, 8), (10_000, 5), (100_000, 8), (120_000, 8)], list.Resistors.Select(r => (r.Ohms, r.Names.Count)));
        Assert.All(list.Resistors, r => Assert.Equal(PreferredSeries.E12, r.Series));
        Assert.Equal(8, Assert.Single(list.Capacitors).Names.Count);
        // Eight heaters of 0.3 A at 6.3 V.
        Assert.Equal(2.4, list.HeaterAmps, 1e-12);
        Assert.Equal(15.12, list.HeaterWatts, 1e-9);
        Assert.Empty(list.HeatersUnknown);
        Assert.Equal(["plate_rail", "bias_rail"], list.Rails.Select(r => r.Node));
    }

    [Fact]
    public void Resistors_are_rated_for_their_worst_row_twice_over()
    {
        var plan = Plan(GateExamples.Inverter(Rails, new()));
        var list = PartsList.Of(plan, BuildTolerances.Usual);
        // Ohm's law on the row whose plate is low, with 5 % more rail and 5 % less resistance.
        var low = plan.Rows.Min(r => r.Volts["y"]);
        var plate = list.Resistors.Single(r => r.Ohms == 10_000);
        Assert.Equal(Math.Pow(28 - low, 2) / 10_000 * 1.05 * 1.05 / 0.95, plate.MostWatts, 1e-6);
        Assert.Equal(0.125, plate.RatedWatts);
        Assert.True(plate.Safety >= 2);
        // What leaves the rail goes through the plate and the screen resistor (Kirchhoff).
        Assert.Equal(plan.Rows.Max(r => (28 - r.Volts["y"]) / 10_000 + (28 - r.Volts["s_y_1"]) / 100), list.Rails.Single(r => r.Node == "plate_rail").MostAmps, 1e-9);
    }

    [Fact]
    public void What_is_not_known_is_said()
    {
        var plan = BuildPlan.Of(GateExamples.Inverter(Rails, new() { PlateOhms = 10_300 }), _ => new("V", "p", "s", "g", "0", Samples.Tube())).Value!;
        var list = PartsList.Of(plan, BuildTolerances.Usual);
        Assert.Equal(["V_y_1"], list.HeatersUnknown);
        Assert.Null(list.Resistors.Single(r => r.Ohms == 10_300).Series);
    }

    [Fact]
    public void The_checklist_fits_every_part_once_and_reads_what_is_there()
    {
        var plan = Plan(GateExamples.HalfAdder(Rails, new()));
        var checklist = BuildChecklist.Of(plan, BuildTolerances.Usual);
        var fitted = checklist.Steps.SelectMany(s => s.Parts).Select(p => p.Name).ToList();
        Assert.Equal(plan.Network.Parts.Where(p => p is not Source).Select(p => p.Name).Order(), fitted.Order());
        // A stage comes after those that drive it.
        var order = checklist.Steps.Select(s => s.Title).Where(t => t.StartsWith("Stage", StringComparison.Ordinal)).ToList();
        Assert.True(order.IndexOf("Stage carry") > order.IndexOf("Stage na") && order.IndexOf("Stage sum") > order.IndexOf("Stage carry"));
        Assert.Contains(checklist.Cautions, c => c.Contains("discharged", StringComparison.Ordinal));
        Assert.Contains(checklist.Cautions, c => c.Contains("licensed electrician", StringComparison.Ordinal));
        Assert.Equal(4 * 5, checklist.Steps[^1].Readings.Count);
        // A stage that feeds nothing yet stands higher than with the dividers that it will feed.
        double High(BuildStep step) => step.Readings.Single(r => r.Node == "na" && r.Row == "a=0 b=0").ReadVolts;
        Assert.True(High(checklist.Steps.Single(s => s.Title == "Stage na")) > High(checklist.Steps[^1]) + 0.5);
        Assert.Contains(BuildChecklist.Of(Plan(GateExamples.Latch(Rails, new())), BuildTolerances.Usual).Steps, s => s.Title == "Stages q, p" && s.Readings.Count > 0);
        Assert.Equal(plan.Nodes.Order(), checklist.Steps.Where(s => s.Parts.Count > 0).SelectMany(s => s.Readings).Select(r => r.Node).Distinct().Order());
    }

    [Fact]
    public void A_meter_pulls_down_what_it_reads_by_the_resistance_behind_it()
    {
        // A divider of 100 k and 100 k on 20 V, read with 100 k: 20 (50/150) = 6.667 V instead of 10 V, by Thévenin.
        var network = new Network("divider", [new Source("E", "b", "0", Waveform.Steady(20)), new Resistor("R1", "b", "m", 100_000), new Resistor("R2", "m", "0", 100_000)]);
        var read = Assert.Single(TestVoltages.Of(BuildPlan.Of(network).Value!, new(new(0.05, 0, 0, 0, 0), 0, 0), 100_000));
        Assert.Equal(10, read.Volts, 1e-6);
        Assert.Equal(20.0 / 3, read.ReadVolts, 1e-6);
        // dV = V/4 times the share of each: 10 V x 0.5 x 0.05/sqrt 3 x sqrt 2, doubled.
        Assert.Equal(2 * 20 * 0.25 * 0.05 / Math.Sqrt(3) * Math.Sqrt(2), read.Tolerance, 2e-3);
    }

    [Fact]
    public void Ninety_five_of_a_hundred_sound_builds_read_within_the_tolerances()
    {
        var plan = Plan(GateExamples.HalfAdder(Rails, new()));
        var (tolerances, inside, all) = (BuildTolerances.Usual, 0, 0);
        var expected = TestVoltages.Of(plan, tolerances).ToDictionary(v => (v.Node, v.Row));
        for (var build = 1; build <= 40; build++)
        {
            foreach (var reading in PlantedBuild.Read(plan, BuildFault.None, tolerances, plan.Nodes, (ulong)build))
            {
                var test = expected[(reading.Node, reading.Row)];
                all++;
                if (Math.Abs(reading.Volts - test.ReadVolts) <= test.Tolerance) inside++;
            }
        }
        Assert.InRange(inside / (double)all, 0.93, 0.995);
    }

    [Fact]
    public void A_network_with_no_room_for_a_meter_at_each_node_is_refused()
    {
        var chain = new Network("chain", [new Source("E", "n0", "0", Waveform.Steady(20)), .. Enumerable.Range(0, 1_000).Select(n => new Resistor($"R{n}", $"n{n}", n == 999 ? "0" : $"n{n + 1}", 1_000))]);
        Assert.Equal("build-too-large", Assert.Single(BuildPlan.Of(chain, TestContext.Current.CancellationToken).Refusals).Code);
    }

    internal static BuildPlan Plan(GateNetwork gates)
    {
        var outcome = BuildPlan.Of(gates, position => new(position, "p", "s", "g", "0", Samples.Tube()) { Number = "SKUA-" + position, TypeName = "6AU6", HeaterAmps = 0.3 });
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}
