using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>A host at the machine's wire: sends requests as frames, keeps what comes back, and moves the clock. No threads, no real time.</summary>
internal sealed class Host
{
    public const int HeaterMicrovolts = 6_300_000;

    private readonly FrameReader _reader = new();
    private byte _sequence;
    private byte _ownSequence;
    private ushort _program;

    public Host(SimulatedRigOptions? options = null)
    {
        Options = options ?? new();
        Machine = new(Options, Journal, Take, () => { });
    }

    public SimulatedRigOptions Options { get; }
    public RigJournal Journal { get; } = new();
    public Machine Machine { get; }

    /// <summary>All bytes that the rig sent.</summary>
    public List<byte> Wire { get; } = [];

    public List<Status> Statuses { get; } = [];
    public List<Tripped> Trips { get; } = [];
    public List<ProgramEnd> Ends { get; } = [];
    public List<SampleBlock> Blocks { get; } = [];
    public List<Ack> Acks { get; } = [];
    public List<Nack> Nacks { get; } = [];
    public List<Restarted> Restarts { get; } = [];
    public List<Identity> Identities { get; } = [];
    public int FlightRecords { get; private set; }

    /// <summary>Payloads of the FlightRecord messages.</summary>
    public List<byte[]> Flights { get; } = [];

    public int ProgramNumber => _program;

    public Status Latest
    {
        get
        {
            Send(new AskStatus());
            return Statuses[^1];
        }
    }

    /// <summary>A rig with a warm tube, released latch and the plate rail on; the lease is held by <see cref="RunToEnd"/> and <see cref="Hold"/>.</summary>
    public static Host Warm(SimulatedRigOptions? options = null, double rail = 28, int socket = 0)
    {
        options ??= new();
        var host = new Host(options with { HeaterSpeed = 1000 });
        host.Send(new Hello(7));
        host.Send(new Release(host.Latest.Latch));
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater, (byte)socket, HeaterMicrovolts, 0));
        // 8 s / 1000 is the time constant; 25 of them leave nothing.
        host.Hold(200_000);
        host.Send(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, (byte)socket, HeaterMicrovolts, (uint)(rail * 1e6)));
        host.Hold(100_000);
        Assert.Empty(host.Nacks);
        return host;
    }

    public void Send<T>(in T message)
        where T : struct, ILinkMessage<T>
    {
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        // Hello and Renew are numbered for themselves.
        var own = !T.Declaration.IsRequest || T.Declaration == LinkMessages.Hello;
        Machine.Receive(wire[..FrameWriter.Write(message, own ? _ownSequence++ : _sequence++, wire)]);
    }

    /// <summary>As a line that kept a copy of an earlier request does, or one that moved it.</summary>
    public void Send<T>(in T message, byte sequence)
        where T : struct, ILinkMessage<T>
    {
        var next = _sequence;
        _sequence = sequence;
        Send(message);
        _sequence = next;
    }

    public void Limit(RigLimits limits)
    {
        var values = LimitValues.Of(limits);
        Send(new SweepRig.Rigs.Link.Messages.Limits(values, LimitSeal.Of(values)));
    }

    /// <summary>Lets time pass without a renewal.</summary>
    public void Wait(long microseconds) => Machine.RunTo(Machine.Now + microseconds);

    /// <summary>Lets time pass while the lease is renewed every 70 ms.</summary>
    public void Hold(long microseconds)
    {
        var until = Machine.Now + microseconds;
        while (Machine.Now < until)
        {
            Send(new Renew(7));
            Machine.RunTo(Math.Min(until, Machine.Now + 70_000));
        }
    }

    /// <summary>Sends a program and starts it.</summary>
    public void Start(RigTiming timing, IReadOnlyList<RigSegment> segments, byte mask = 31, RigWiring? wiring = null, int? ceiling = null)
    {
        var w = wiring ?? new(ConnectionKind.Pentode, 10_000, 100, 4_700);
        _program++;
        Send(new ProgramBegin(
            _program, (byte)segments.Count, (ushort)segments.Sum(s => s.Points), mask,
            (ushort)(ceiling ?? Options.Drive.ToCodeAtOrBelow(Options.HardLimits.DriveCeiling)),
            (uint)timing.DwellMicroseconds, (ushort)timing.Conversions, (byte)timing.MainsPeriods, (byte)timing.MainsHertz,
            (ushort)timing.SettleToleranceCodes, (uint)timing.SettleTimeoutMicroseconds, w.Kind,
            (uint)w.PlateResistorOhms, (uint)w.ScreenResistorOhms, (uint)w.GridStopperOhms));
        for (var i = 0; i < segments.Count; i++)
        {
            var s = segments[i];
            Send(new ProgramSegment(_program, (byte)i, s.FromCode, s.ToCode, (ushort)s.Points, (ushort)s.FirstPoint));
        }
        Send(new ProgramStart(_program));
    }

    /// <summary>Runs to the end of the program, the lease renewed.</summary>
    public void RunToEnd()
    {
        while (Machine.IsRunning)
        {
            Send(new Renew(7));
            Machine.RunTo(Machine.Now + 50_000);
        }
    }

    public RigSegment Drive(double from, double to, int points, int firstPoint = 0) =>
        new((ushort)Options.Drive.ToCode(new Volts(from)), (ushort)Options.Drive.ToCode(new Volts(to)), points, firstPoint);

    public static RigTiming Count(int dwell, int conversions) => new(dwell, conversions, 0, 0, 0, 0);

    private void Take(byte[] frame)
    {
        Wire.AddRange(frame);
        ReadOnlySpan<byte> input = frame;
        // Frames of one call end with it; the first frame's leading part was never seen before, hence the ending 0x00 first.
        if (_reader.Frames == 0)
        {
            ReadOnlySpan<byte> zero = [0];
            _ = _reader.Next(ref zero, out _);
        }
        while (_reader.Next(ref input, out var found) is var result && result != ReadResult.NeedMore)
            if (result == ReadResult.Frame) Read(found);
    }

    private void Read(LinkFrame frame)
    {
        if (frame.Version != LinkProtocol.Version) return;
        switch (LinkMessages.Find(frame.Type)!.Name)
        {
            case nameof(Status): Keep(frame, Statuses); break;
            case nameof(Tripped): Keep(frame, Trips); break;
            case nameof(ProgramEnd): Keep(frame, Ends); break;
            case nameof(Ack): Keep(frame, Acks); break;
            case nameof(Nack): Keep(frame, Nacks); break;
            case nameof(Restarted): Keep(frame, Restarts); break;
            case nameof(Identity): Keep(frame, Identities); break;
            case "FlightRecord": FlightRecords += frame.Payload[1]; Flights.Add(frame.Payload.ToArray()); break;
            case "Samples":
                Assert.Null(SampleFrame.DecodeHeader(frame, out var header));
                Assert.Null(SampleFrame.DecodeSamples(frame, header, header.Program, header.Frame, header.TimeMicroseconds, false, out var block));
                Blocks.Add(block!);
                break;
            default: break;
        }
    }

    private static void Keep<T>(LinkFrame frame, List<T> kept)
        where T : struct, ILinkMessage<T>
    {
        Assert.Null(frame.Decode<T>(out var message));
        kept.Add(message);
    }
}

/// <summary>All samples of some blocks in one column a quantity.</summary>
internal static class BlockColumns
{
    public static double[] Volts(this IEnumerable<SampleBlock> blocks, SimulatedRigOptions options, RigChannel channel) =>
        [.. blocks.SelectMany(b => b.Codes[(int)channel]).Select(c => options.Channels[(int)channel].ToVolts(c))];

    public static long[] Times(this IEnumerable<SampleBlock> blocks) => [.. blocks.SelectMany(b => b.SampledAtTicks)];

    public static SampleFlags[] Flags(this IEnumerable<SampleBlock> blocks) => [.. blocks.SelectMany(b => b.Flags)];
}
