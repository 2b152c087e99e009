using SweepRig.Analysis.Uncertainty;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Yield;

namespace SweepRig.Logic.Tests.Yield;

/// <summary>A network that stores, built with parts so bad that some of its states are not there any more; every state looked for by itself.</summary>
public sealed class FallingOverTests
{
    private static readonly GateNetwork Latch = GateExamples.Latch(new(28, -14, 6.3), new());

    // Far worse than anything on a shelf: both ends must come up.
    private static readonly Tolerances Wild = new(0.45, 0.3, 0.5, 0.5, 1);

    [Fact]
    public void A_trial_is_measured_in_its_own_state_or_has_fallen_over()
    {
        var table = NominalTable.Of(Latch, _ => Part()).Value!;
        var factors = new YieldFactors(table, Wild);
        var bench = new TableBench(table);
        var random = new RandomStream(3);
        var (stayed, fell) = (0, 0);
        for (var trial = 0; trial < 12; trial++)
        {
            factors.Put([.. factors.IsBounded.Select(b => b ? Math.Sign(random.Uniform() - 0.5) : random.Normal())], bench);
            for (var row = 0; row < table.Rows.Count; row++)
            {
                var distance = bench.Distance(row);
                var wanted = table.Rows[row].Wanted;
                double Least(IReadOnlyList<double> volts) => wanted.Select((w, g) => (w ? 1 : -1) * (volts[table.Signals[g]] - table.Levels.Middle)).Min();
                var own = StateFinder.Find(bench.Values, cancel: TestContext.Current.CancellationToken).Stable.Select(s => Least(s.Point.Volts)).Where(d => d > 0).ToList();
                Assert.Equal(own.Count == 0, bench.FellOver);
                Assert.Equal(own.Count == 0 ? table.Levels.Low - table.Levels.High : own.Single(), distance, 1e-3);
                if (own.Count == 0) fell++;
                else stayed++;
            }
        }
        Assert.True(stayed > 10 && fell > 10, $"{stayed} stayed, {fell} fell: the test sees one side only.");
    }

    [Fact]
    public void What_fell_over_is_counted_and_is_not_good()
    {
        var result = YieldRun.Run(Latch, _ => Part(), Wild, 200, 5, cancel: TestContext.Current.CancellationToken).Value!;
        Assert.InRange(result.FellOver, 1, result.Trials - result.Good);
        Assert.Equal(result.FellOver, result.Distances.Count(d => d == result.Distances[0]));
        // With every part at its adverse end nothing holds: that is said by the whole swing, not by the levels of another state.
        Assert.Equal(result.Distances[0], result.CornerVolts);
        var calm = YieldRun.Run(Latch, _ => Part(), new(0.05, 0.05, 0, 0, 0), 200, 5, cancel: TestContext.Current.CancellationToken).Value!;
        Assert.Equal(0, calm.FellOver);
        Assert.True(calm.CornerVolts > 0, $"{calm.CornerVolts}");
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
