using System.Numerics;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Yield;

namespace SweepRig.Logic.Tests.Yield;

/// <summary>Trials side by side against the exact solver, node by node.</summary>
public sealed class LaneBenchTests
{
    private const int Packs = 40;

    [Theory]
    [InlineData("half-adder", 0.05, 0.05, 0, 0, 0)]
    [InlineData("half-adder", 0.10, 0.05, 0.10, 0.10, 0.30)]
    [InlineData("half-adder", 0.20, 0.10, 0, 0, 0)]
    [InlineData("latch", 0.05, 0.05, 0.05, 0.05, 0.10)]
    [InlineData("nand-at-screen", 0.05, 0.05, 0, 0, 0)]
    [InlineData("follower", 0.05, 0.05, 0.05, 0.05, 0.10)]
    public void Every_node_is_within_a_microvolt_of_the_exact_solution(string word, double resistors, double rails, double current, double offset, double emission)
    {
        var network = GateExamples.All.Single(e => e.Word == word).Make(new(28, -14, 6.3), new());
        var table = NominalTable.Of(network, _ => new TubePart("V", "p", "s", "g", "0", Samples.Tube())).Value!;
        var tolerances = new Tolerances(resistors, rails, current, offset, emission);
        var factors = new YieldFactors(table, tolerances);
        var lanes = new LaneBench(LaneTable.Of(table)!);
        var bench = new TableBench(table);
        var exact = new DcSolver(bench.Values);
        var random = new RandomStream(11);
        double[][] at = [.. Enumerable.Range(0, LaneBench.Width).Select(_ => new double[factors.Names.Count])];
        var solved = 0;
        for (var pack = 0; pack < Packs; pack++)
        {
            foreach (var trial in at) factors.Draw(random, trial);
            factors.Put([.. Enumerable.Range(0, factors.Names.Count).Select(f => new Vector<double>([.. at.Select(trial => trial[f])]))], lanes);
            for (var row = 0; row < table.Rows.Count; row++)
            {
                if (!lanes.Solve(row)) continue;
                solved++;
                var (least, nodes) = (lanes.Distance(row), table.Values.Circuit.Nodes.Count);
                for (var lane = 0; lane < at.Length; lane++)
                {
                    factors.Put(at[lane], bench);
                    for (var i = 0; i < table.Inputs.Length; i++) bench.Values.Sources[table.Inputs[i]] = Waveform.Steady(table.Rows[row].Volts[i]);
                    Assert.True(exact.TrySolve(table.Rows[row].Start));
                    for (var node = 0; node < nodes; node++) Assert.Equal(exact.Volts[node], lanes.Volts(node)[lane], 1e-6);
                    Assert.Equal(bench.Distance(row), least[lane], 1e-4);
                }
            }
        }
        // Almost all: what is left goes to the other solver, and would make a yield slow.
        Assert.InRange(solved, 0.95 * Packs * table.Rows.Count, Packs * table.Rows.Count);
    }

    [Fact]
    public void Trials_that_fill_no_lane_are_those_of_a_longer_run()
    {
        var network = GateExamples.Buffer(new(28, -14, 6.3), new());
        YieldResult Run(int trials) => YieldRun.Run(network, _ => new TubePart("V", "p", "s", "g", "0", Samples.Tube()), Tolerances.Usual, trials, 5, cancel: TestContext.Current.CancellationToken).Value!;
        var (three, one) = (Run(3), Run(1));
        Assert.Contains(one.Distances[0], three.Distances);
        Assert.Equal(3, three.Distances.Distinct().Count());
    }
}
