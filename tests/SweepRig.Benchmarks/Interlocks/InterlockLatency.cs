using System.Diagnostics;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Link;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;
using SweepRig.Wire.Exploration;

namespace SweepRig.Benchmarks.Interlocks;

/// <summary>What the host takes from a decoded block to the decision on it: volts, extremes, the machine and its invariants, in one thread, each by itself.</summary>
internal static class InterlockLatency
{
    private const int Decisions = 200_000, WarmUp = 50_000, LimitMicroseconds = 20;

    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    public static Task<FigureLine> MeasureAsync()
    {
        using var rigs = new RigStates(FirmwareLibrary.Build());
        var identity = rigs.Identity;
        var calibration = RigCalibration.Nominal(identity);
        var calibrator = new Calibrator(identity, calibration, new(ConnectionKind.Pentode, new(28), new(-12), new(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4700)));
        // As many samples as the longest frame of a sweep of all channels carries.
        var block = Block(SampleHeader.CapacityOf(mask: 31));
        var state = InterlockState.Initial with { Limits = HostLimits.Of(identity.HardLimits, calibration), Armed = 0 };
        var sum = 0L;

        var decisions = Times(() =>
        {
            var happened = new InterlockEvent.Block(BlockSummary.Of(block, calibrator.Convert(block), calibrator));
            var step = InterlockMachine.Next(state, happened, Now);
            if (step.State.IsTripped || StepInvariants.Broken(new(state, happened, step, Now)) is not null) throw new InvalidOperationException("A quiet block tripped.");
        });
        var passes = Times(() =>
        {
            foreach (var codes in block.Codes)
                foreach (var code in codes) sum += code;
        });
        var (p50, p99) = (Percentile.Of(decisions, 50), Percentile.Of(decisions, 99));
        return Task.FromResult(new FigureLine(
            "interlock-latency", $"{FigureLine.Text(p99)} us at the 99th percentile, {FigureLine.Text(p50)} us at the median, of {Decisions} decisions on blocks of {block.Count} samples",
            $"under {LimitMicroseconds} us at the 99th percentile", $"a plain pass over the same codes {FigureLine.Text(Percentile.Of(passes, 99))} us at the 99th percentile (sum {sum % 10})", p99 < LimitMicroseconds));
    }

    private static double[] Times(Action once)
    {
        for (var i = 0; i < WarmUp; i++) once();
        var times = new double[Decisions];
        for (var i = 0; i < times.Length; i++)
        {
            var from = Stopwatch.GetTimestamp();
            once();
            times[i] = Stopwatch.GetElapsedTime(from).TotalMicroseconds;
        }
        return times;
    }

    private static SampleBlock Block(int count)
    {
        ushort[] Each(int code) => [.. Enumerable.Range(0, count).Select(i => (ushort)(code + i))];
        return new()
        {
            Pass = 0, FrameIndex = 0, PointIndex = Each(0), SampledAtTicks = [.. Enumerable.Range(0, count).Select(i => i * 95L)], DriveCode = Each(900),
            Flags = new SampleFlags[count], AveragedCount = Each(1), Spread = Each(0),
            Codes = [Each(2000 << 4), Each(1500 << 4), Each(2799 << 4), Each(2800 << 4), Each(1063 << 4)],
        };
    }
}
