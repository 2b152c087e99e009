using SweepRig.Domain;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Timing;

/// <summary>How fast the machine code is, in cycles of the emulated processor, seen at its pins.</summary>
internal static class FirmwareTiming
{
    /// <summary>Moments at which each fault is made, spread so that it meets the program in different places.</summary>
    public const int Phases = 10;

    private const double PhaseMilliseconds = 0.237;

    /// <summary>Samples a second of four channels without dwell: points over the time from the first step to the return to the safe code.</summary>
    public static double SamplesPerSecond(int conversions)
    {
        const int points = 1_200;
        using var host = Ready();
        var mark = host.Frames.Count;
        var from = host.Board.Now;
        Start(host, -10, 7.5, points, dwell: 0, conversions);
        host.RunUntil(() => host.Frames.Skip(mark).Any(f => f.TryAs<ProgramEnd>(out var ended) && ended.Completed), 5_000, "the end on the link");
        var first = host.At(from, e => e.Kind == JournalKind.DriveWritten);
        var last = host.At(first + 1, e => e.Kind == JournalKind.DriveWritten && e.Code == host.Board.Circuit.SafeCode);
        var received = host.Frames.Skip(mark).Sum(Samples);
        if (received != points) throw new InvalidOperationException($"{received} of {points} samples arrived.");
        return points / ((last - first) / 1e6);
    }

    /// <summary>From the sample of the drive that shows it above the ceiling to the safe code on the DAC; the longest of all phases. Unit: us.</summary>
    public static double CeilingToSafeMicroseconds() => Longest(phase =>
    {
        using var host = Ready();
        host.Do(Passes.Limits(SimulatedRigDefaults.HardLimits with { DriveCeiling = new(2) }));
        Start(host, 0, 1, 1_000, dwell: 1_000, conversions: 4, Passes.All);
        host.Run(20 + phase * PhaseMilliseconds);
        var scale = SimulatedRigDefaults.Channels[(int)RigChannel.Drive];
        // The firmware allows a margin of 0.1 V at the ceiling.
        var breach = (2.1 - scale.AtZero.Value) / scale.StepVolts + 1;
        long? seenAt = null;
        host.Board.Sampled = (channel, cycle, steps) =>
        {
            if (channel == RigChannel.Drive && steps > breach) seenAt ??= cycle / host.Board.Machine.CyclesPerMicrosecond;
        };
        host.Board.Circuit.Faults = [new SimulatedFault.DriveOff(3)];
        host.RunUntil(() => host.Board.Circuit.IsSafe, 100, "safe");
        var seen = seenAt ?? throw new InvalidOperationException("The rig went to safe before the breach was converted.");
        return host.At(seen, e => e.Kind == JournalKind.DriveWritten && e.Code == host.Board.Circuit.SafeCode) - seen;
    });

    /// <summary>From the last byte of the last renewal to drive and rail safe, less the lease; the longest of all phases. Unit: ms.</summary>
    public static double SilenceToSafeMilliseconds(int leaseMilliseconds) => Longest(phase =>
    {
        using var host = Ready();
        Start(host, 0, 5, 4_000, dwell: 1_000, conversions: 4);
        host.Run(50 + 4 * phase * PhaseMilliseconds);
        host.Send(new Renew(BoardHost.Session), 0);
        host.Renews = false;
        var last = host.Board.Now + host.Board.Usart.OnTheLine * host.Board.Usart.CyclesPerByte / host.Board.Machine.CyclesPerMicrosecond;
        host.RunUntil(() => host.Board.Circuit.IsSafe, 1_000, "safe");
        return (SafeAt(host, last) - last) / 1000.0 - leaseMilliseconds;
    });

    /// <summary>From a main loop that hangs to the drive safe, and to drive and rail safe; the longest of all phases. Unit: ms.</summary>
    public static (double Drive, double All) HangToSafeMilliseconds()
    {
        var drive = 0.0;
        var all = Longest(phase =>
        {
            using var host = Ready();
            Start(host, 0, 5, 4_000, dwell: 1_000, conversions: 4);
            host.Run(50 + 4 * phase * PhaseMilliseconds);
            host.Board.Hang();
            var hung = host.Board.Now;
            host.RunUntil(() => host.Board.Circuit.IsSafe, 1_000, "safe");
            drive = Math.Max(drive, (host.At(hung, e => e.Kind == JournalKind.DriveWritten && e.Code <= host.Board.Circuit.SafeCode) - hung) / 1000.0);
            return (SafeAt(host, hung) - hung) / 1000.0;
        });
        return (drive, all);
    }

    // When both the drive and the rail had become safe.
    private static long SafeAt(BoardHost host, long from) => Math.Max(
        host.At(from, e => e.Kind == JournalKind.DriveWritten && e.Code <= host.Board.Circuit.SafeCode),
        host.At(from, e => e.Kind == JournalKind.PlateRailSet && e.Code == 0));

    private static BoardHost Ready()
    {
        var host = new BoardHost();
        host.GetReady(Passes.Pentode);
        return host;
    }

    private static void Start(BoardHost host, double from, double to, int points, int dwell, int conversions, byte mask = Passes.AllButReadBack)
    {
        host.Do(Passes.Begin(1, points, Math.Max(from, to), dwell, conversions, mask));
        host.Do(new ProgramSegment(1, 0, Passes.Code(from), Passes.Code(to), (ushort)points, 0));
        host.Do(new ProgramStart(1));
    }

    private static double Longest(Func<int, double> measure) => Enumerable.Range(0, Phases).Max(measure);

    private static int Samples(HeardFrame frame) =>
        frame.Frame.Type == LinkMessages.Samples.Number && SampleFrame.DecodeHeader(frame.Frame, out var header) is null ? header.Count : 0;
}
