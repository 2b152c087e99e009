using SweepRig.Analysis.Models;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Models;

public sealed class TubeFitterTests
{
    private static readonly TubeParameters Truth = new LotSpread().Draw(ExampleTubes.Sound6BH6, 3, 1)[0];

    private static readonly TubeFitOptions Options = new() { Typical = ExampleTubes.Sound6BH6 };

    private static IReadOnlyList<ModelRun> Both(SimulatedRuns bench, TubeParameters tube) =>
    [
        bench.Run(tube, Connection(ConnectionKind.Pentode), Even(-6, 24, 128), "pentode"),
        bench.Run(tube, Connection(ConnectionKind.Triode), Even(-6, 24, 128), "triode"),
    ];

    [Fact]
    public void Two_connections_together_tell_the_constants_of_a_tube()
    {
        var fit = TubeFitter.Fit(Both(new(1, 1e-3, 3e-4, 1e-3), Truth), Options);

        Assert.Equal(ModelFitStatus.Good, fit.Status);
        Assert.True(fit.AgreeingStarts >= 2);
        Assert.InRange(fit.Scale, 0.9, 1.1);
        Assert.Equal(0, fit.WildReadings);
        foreach (var constant in (TubeParameter[])[TubeParameter.Perveance, TubeParameter.ScreenMu, TubeParameter.GridOffset, TubeParameter.GridShare, TubeParameter.GridSpaceLimit, TubeParameter.PlateShare, TubeParameter.PlateSpaceLimit])
        {
            var found = fit.Of(constant);
            Assert.True(found.IsDetermined, $"{constant}: {found.Figure.AbsentBecause}");
            var truth = TubeCoordinates.Value(Truth, constant);
            Assert.True(Math.Abs(found.Figure.Value!.Value - truth) < 4 * found.Figure.Uncertainty!.Value, $"{constant}: {found.Figure.Value} ± {found.Figure.Uncertainty} for {truth}");
            Assert.InRange(found.Figure.Value.Value, found.Low!.Value, found.High!.Value);
        }
    }

    [Fact]
    public void What_the_data_cannot_tell_is_named_with_the_sweep_that_would_tell_it()
    {
        var bench = new SimulatedRuns(2);
        var negative = bench.Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, -1, 64), "negative");
        var fit = TubeFitter.Fit([negative], Options);
        foreach (var constant in (TubeParameter[])[TubeParameter.GridShare, TubeParameter.PlateSpaceLimit, TubeParameter.GridSpaceLimit])
        {
            var found = fit.Of(constant);
            Assert.False(found.IsDetermined);
            Assert.Null(found.Low);
            Assert.NotNull(found.Figure.AbsentBecause);

            // The promise is kept: with the sweep made, the constant is determined.
            var needed = found.NeededSweep!.Sweep!;
            Assert.Contains(needed.ToString(), found.NeededSweep.Says, StringComparison.Ordinal);
            var further = bench.Run(Truth, needed.Connection, needed.Drives, "further");
            var after = TubeFitter.Fit([negative, further], Options).Of(constant);
            Assert.True(after.IsDetermined, $"{constant} after {needed}: {after.Figure.AbsentBecause}");
            Assert.Equal(TubeCoordinates.Value(Truth, constant), after.Figure.Value!.Value, 4 * after.Figure.Uncertainty!.Value);
        }
        // A healthy tube says nothing of its emission at rated heater voltage (the model's own limit).
        Assert.False(fit.Of(TubeParameter.Emission).IsDetermined);
        Assert.Contains(fit.Findings, f => f.Code == "single-pass");
    }

    [Fact]
    public void A_heater_family_of_a_weak_tube_tells_its_emission()
    {
        var weak = Truth with { Emission = 0.012 };
        var run = new SimulatedRuns(4).Run(weak, Connection(ConnectionKind.Triode, 2_200), Even(-4, 12, 64), "heaters", heaters: [5, 5.7, 6.3]);
        var fit = TubeFitter.Fit([run], Options);
        var emission = fit.Of(TubeParameter.Emission);
        Assert.True(emission.IsDetermined, emission.Figure.AbsentBecause);
        Assert.InRange(0.012, emission.Low!.Value - 0.3 * (emission.High!.Value - emission.Low.Value), emission.High.Value + 0.3 * (emission.High.Value - emission.Low.Value));
    }

    [Fact]
    public void Gas_is_found_where_there_is_some_and_only_there()
    {
        Assert.Contains("none", TubeFitter.Fit(Both(new(5), Truth), Options).Of(TubeParameter.GasRatio).Figure.AbsentBecause, StringComparison.Ordinal);
        var gassy = TubeFitter.Fit(Both(new(5), Truth with { GasRatio = 1e-3 }), Options).Of(TubeParameter.GasRatio);
        Assert.True(gassy.IsDetermined);
        Assert.Equal(1e-3, gassy.Figure.Value!.Value, 4 * gassy.Figure.Uncertainty!.Value);
    }

    [Fact]
    public void Wild_readings_are_left_out_and_shown()
    {
        var runs = Both(new(6), Truth);
        runs[0].Curves[0].Plate[40] += 0.5;
        runs[1].Curves[0].Plate[70] -= 0.3;
        var fit = TubeFitter.Fit(runs, Options);
        Assert.Equal(ModelFitStatus.Good, fit.Status);
        Assert.Equal(2, fit.WildReadings);
        var plate = fit.Residuals.First(r => r.Run == "pentode");
        Assert.True(plate.Wild[40]);
        Assert.True(Math.Abs(plate.Residual[40]) > 100);
    }

    [Fact]
    public void Missing_and_clipped_points_are_told_and_not_joined_over()
    {
        var runs = Both(new(7), Truth);
        var curve = runs[0].Curves[0];
        for (var i = 50; i < 60; i++) curve.Plate[i] = double.NaN;
        curve.Flags[3] |= SampleFlags.Clipped;
        var fit = TubeFitter.Fit(runs, Options);
        Assert.Equal(ModelFitStatus.Good, fit.Status);
        Assert.Contains(fit.Findings, f => f.Code == "gaps" && f.Says.Contains("10 of 128", StringComparison.Ordinal));
        Assert.Contains(fit.Findings, f => f.Code == "clipped");
        Assert.Equal(128 - 11, fit.Residuals[0].Drive.Length);
    }

    [Fact]
    public void Pentode_data_recorded_as_triode_is_detected_and_said()
    {
        var bench = new SimulatedRuns(8);
        var run = bench.Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, 12, 96));
        var wrong = run with { Connection = run.Connection with { Kind = ConnectionKind.Triode } };
        Assert.Contains("screen stays near the rail", Refusal(TubeFitter.Fit([wrong], Options), "wrong-connection"), StringComparison.Ordinal);

        // An imported file without the screen leaves the shape of the curve alone to tell.
        Array.Fill(wrong.Curves[0].Screen, double.NaN);
        Assert.Contains("is that of a pentode", Refusal(TubeFitter.Fit([wrong], Options), "wrong-connection"), StringComparison.Ordinal);

        var triode = bench.Run(Truth, Connection(ConnectionKind.Triode), Even(-6, 12, 96));
        var other = triode with { Connection = triode.Connection with { Kind = ConnectionKind.Pentode } };
        Assert.Contains("move as one", Refusal(TubeFitter.Fit([other], Options), "wrong-connection"), StringComparison.Ordinal);
    }

    [Fact]
    public void Runs_of_two_tubes_contradict_each_other_and_the_odd_one_is_named()
    {
        var bench = new SimulatedRuns(9);
        var stranger = Truth with { Perveance = 1.4 * Truth.Perveance, GridOffset = Truth.GridOffset - 0.2 };
        ModelRun Run(TubeParameters tube, string name, double ohms) => bench.Run(tube, Connection(ConnectionKind.Triode, ohms), Even(-6, 6, 96), name);
        var fit = TubeFitter.Fit([Run(Truth, "first", 10_000), Run(stranger, "second", 22_000), Run(Truth, "third", 47_000)], Options);
        Assert.Equal(ModelFitStatus.Doubtful, fit.Status);
        var finding = Assert.Single(fit.Findings, f => f.Code == "contradictory-runs");
        Assert.Contains("Without second the others agree", finding.Says, StringComparison.Ordinal);
    }

    [Fact]
    public void A_tube_that_shows_nothing_to_fit_is_refused_in_words()
    {
        var bench = new SimulatedRuns(10);
        var pentode = Connection(ConnectionKind.Pentode);
        Refusal(TubeFitter.Fit([], Options), "no-run");
        Refusal(TubeFitter.Fit([bench.Run(Truth with { Emission = 1e-6 }, pentode, Even(-6, 0, 64))], Options), "does-not-conduct");
        Refusal(TubeFitter.Fit([bench.Run(Truth, pentode, [-2, -1])], Options), "too-few-points");
        // A short from plate to cathode: current, and no answer to the grid.
        Refusal(TubeFitter.Fit([bench.Run(Truth with { Emission = 1e-6, PlateCathodeLeakSiemens = 1e-3 }, pentode, Even(-6, 0, 64))], Options), "no-answer");
        var blank = bench.Run(Truth, pentode, Even(-6, 0, 64));
        Array.Fill(blank.Curves[0].Plate, double.NaN);
        Refusal(TubeFitter.Fit([blank], Options), "too-few-points");
    }

    [Fact]
    public void A_sweep_that_never_reaches_cut_off_is_doubted()
    {
        var fit = TubeFitter.Fit([new SimulatedRuns(11).Run(Truth, Connection(ConnectionKind.Triode), Even(-0.5, 6, 64))], Options);
        Assert.Equal(ModelFitStatus.Doubtful, fit.Status);
        Assert.Contains(fit.Findings, f => f.Code == "never-cuts-off" && f.Remedy.Contains("lower drive", StringComparison.Ordinal));
    }

    private static string Refusal(TubeModelFit fit, string code)
    {
        Assert.Equal(ModelFitStatus.Refused, fit.Status);
        Assert.Null(fit.Tube);
        Assert.Empty(fit.Constants);
        return Assert.Single(fit.Findings, f => f.Code == code).Says;
    }

    [Fact]
    public void A_fit_under_way_ends_when_it_is_asked_to()
    {
        using var asker = new CancellationTokenSource();
        var run = new SimulatedRuns(1).Run(ExampleTubes.Sound6AU6, SimulatedRuns.Connection(ConnectionKind.Pentode), SimulatedRuns.Even(-14, 20, 64));
        // The fit has begun by then: it reads the curves first.
        var leaving = run with { Curves = new Watched<Curve>(run.Curves, asker.Cancel) };
        Assert.Throws<OperationCanceledException>(() => TubeFitter.Fit([leaving], new() { Cancellation = asker.Token }));
    }

    private sealed class Watched<T>(IReadOnlyList<T> items, Action read) : IReadOnlyList<T>
    {
        public int Count => items.Count;

        public T this[int index] => items[index];

        public IEnumerator<T> GetEnumerator()
        {
            read();
            return items.GetEnumerator();
        }

        System.Collections.IEnumerator System.Collections.IEnumerable.GetEnumerator() => GetEnumerator();
    }
}
