using SweepRig.Logic.Gates;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Timing;

namespace SweepRig.Logic.Tests.Timing;

public sealed class TimingReportTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public void An_adder_is_told_with_every_path_and_no_trigger()
    {
        var report = Report(GateExamples.HalfAdder(Rails, new()));
        Assert.Equal(["a carry", "a sum", "b carry", "b sum"], report.Delays.Select(d => $"{d.Input} {d.Output}").Distinct().Order(StringComparer.Ordinal));
        Assert.All(report.Delays, d => Assert.Equal(2, d.Delays.Count));
        // The sum follows one input or its opposite, as the other is: all four kinds of edges.
        Assert.Equal(4, report.Delays.Where(d => d is { Input: "a", Output: "sum" }).SelectMany(d => d.Delays).Select(d => (d.CauseRises, d.EffectRises)).Distinct().Count());
        // The carry answers an input only while the other is high, through two stages; each stage of this kind takes some tenths of a microsecond.
        Assert.True(report.Delays.Single(d => d is { Input: "a", Output: "carry" }).Others[1]);
        Assert.All(report.Delays.SelectMany(d => d.Delays), d => Assert.InRange(d.Seconds, 0.1e-6, 5e-6));
        Assert.Empty(report.Triggers);
        Assert.Empty(report.Refused);
        Assert.NotNull(report.Needs);
        // The slowest path is shown with both of its half-way points: the input at 0, the output at the delay.
        var (wave, half) = (Assert.Single(report.Waves), 0.5 * (report.Levels.Low + report.Levels.High));
        Assert.Equal(report.Delays.SelectMany(d => d.Delays).Max(d => d.Seconds), wave.Path!.Seconds);
        Assert.Equal(0, Crossing(wave, 0, half), 1e-9);
        Assert.Equal(wave.Path.Seconds, Crossing(wave, 1, half), 1e-9);
    }

    [Fact]
    public void A_clocked_cell_of_numbered_tubes_is_told_with_its_clock()
    {
        var network = SequenceExamples.Clocked(Rails, CellValues.Usual);
        var numbers = network.Positions.Select((p, at) => (p, at)).ToDictionary(p => p.p, p => $"SKUA-{p.at + 1:000}");
        var report = Report(network, p => numbers[p]);
        Assert.Empty(report.Refused);
        var clock = Assert.Single(report.Triggers);
        Assert.Equal(("clock", "data"), (clock.Pattern.Input, Assert.Single(clock.Pattern.Alternating!)));
        // Its steering remembers for 100 kohm times 100 pF = 10 us; it can be neither much faster nor needs it many times that.
        Assert.InRange(clock.Period!.Works, 5e-6, 50e-6);
        Assert.InRange(clock.Fall!.Works, 2, report.Levels.High);
        // Only the falling edge of the clock is answered, by both outputs; the data alone by none.
        Assert.Equal(["clock p False", "clock p True", "clock q False", "clock q True"], report.Delays.Select(d => $"{d.Input} {d.Output} {Assert.Single(d.Delays).EffectRises}").Order(StringComparer.Ordinal));
        Assert.All(report.Delays, d => Assert.False(d.Delays[0].CauseRises));
        // Played at the shortest period: as many low pulses of the clock as the pattern has, and the outputs change with them.
        var played = report.Waves[1];
        Assert.Equal(["clock", "q", "p"], played.Signals);
        Assert.Equal((clock.Pattern.Pulses + 0.5) * clock.Period.Works, played.Seconds[^1], 1e-9);
        Assert.True(played.Volts[1].Max() > report.Levels.Middle && played.Volts[1].Min() < report.Levels.Middle);
    }

    private static double Crossing(TimingWave wave, int signal, double level)
    {
        var volts = wave.Volts[signal];
        var n = Enumerable.Range(1, volts.Count - 1).First(i => volts[i - 1] < level != volts[i] < level && wave.Seconds[i] > -1e-9);
        return wave.Seconds[n - 1] + (level - volts[n - 1]) / (volts[n] - volts[n - 1]) * (wave.Seconds[n] - wave.Seconds[n - 1]);
    }

    private static TimingReport Report(GateNetwork network, Func<string, string>? number = null)
    {
        var outcome = TimingReport.Of(network, p => new("V", "p", "s", "g", "0", Samples.Tube()) { Number = number?.Invoke(p), HeaterAmps = 0.3 }, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}
