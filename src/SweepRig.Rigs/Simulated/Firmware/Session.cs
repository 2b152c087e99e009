using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>The rig's end of the link: what it answers, what it tells by itself.</summary>
internal sealed class Session : IReports
{
    /// <summary>A host not heard for so long is told nothing more until it speaks again: its line may have been left full.</summary>
    public const long QuietMicroseconds = 3_000_000;

    private readonly SimulatedRigOptions _options;
    private readonly Controller _controller;
    private readonly IWire _wire;
    private readonly ushort _boot;
    private readonly ResetReason _reason;
    private readonly FlightRecorder _recorder = new();
    private readonly ProgramStore _programs = new();
    private readonly Requests _requests;
    private readonly byte[] _frame = new byte[LinkProtocol.MaxWireBytes];

    private byte _sequence;
    private bool _greeted;
    private long _statusAt;
    private long _heardAt;
    private SampleFrameBuilder? _samples;
    private byte _mask;

    public Session(SimulatedRigOptions options, Controller controller, IWire wire, ushort boot, ResetReason reason, long now)
    {
        _options = options;
        _controller = controller;
        _wire = wire;
        _boot = boot;
        _reason = reason;
        _requests = new(options, controller, _programs, this);
        _statusAt = now - controller.Ahead;
        _heardAt = now - controller.Ahead;
        controller.Reports = this;
    }

    /// <summary>Number that the host chose; 0 before the first Hello and after a break.</summary>
    public ushort Number { get; private set; }

    /// <summary>Program running or last started in the session; 0 for none.</summary>
    public ushort Program { get; private set; }

    public bool Completed { get; private set; }

    private int FramesSent => _samples?.Frames ?? 0;

    public long NextDue => Math.Min(
        _statusAt + _controller.Ahead,
        _samples is { Count: > 0 } waiting ? _controller.BootedAt + waiting.OldestMicroseconds + (long)LinkProtocol.FrameHold.TotalMicroseconds : long.MaxValue);

    public void Act(long now)
    {
        if (_statusAt + _controller.Ahead > now)
        {
            SendSamples(now);
            return;
        }
        _statusAt += _options.StatusMilliseconds * 1000L;
        if (_controller.Fault<SimulatedFault.NoStatus>(now) is not null) return;
        if (!_greeted) Send(now, new Restarted(_reason, _boot));
        else if (Number != 0 && now - _controller.Ahead - _heardAt < QuietMicroseconds) Send(now, Status(now));
    }

    /// <summary>A frame whose check was good.</summary>
    public void Receive(long now, LinkFrame frame)
    {
        // Another version cannot be understood at all; the host learns the rig's version from any frame of the rig.
        if (frame.Version != LinkProtocol.Version) return;
        _recorder.Note(RigTime(now), frame.Bytes[0], frame.Sequence, frame.Payload);
        _heardAt = now - _controller.Ahead;
        _controller.Heard(now);
        if (_requests.Handle(now, frame) is not null) Break(now);
    }

    public void Open(long now, ushort number)
    {
        _controller.Leave(now);
        _wire.Forget();
        Number = number;
        _greeted = true;
        Program = 0;
        Completed = false;
        _samples = null;
        _controller.RenewLease(now);
        Identify(now);
    }

    public void Begin(long now, RigProgram program)
    {
        Program = (ushort)program.Pass;
        Completed = false;
        _mask = program.ChannelMask;
        _samples = new(Program, _mask);
        _controller.Start(now, program);
    }

    public void Answer(long now, LinkFrame request, Refused? refused)
    {
        if (refused is { } no)
            Send(now, new Nack((byte)request.Type, request.Sequence, Number, no.Reason, (byte)no.Field, Whole(no.Value), Whole(no.Limit)), isAnswer: true);
        else
            Send(now, new Ack((byte)request.Type, request.Sequence, Number), isAnswer: true);
    }

    public Status Status(long now)
    {
        var latch = _controller.Latch;
        var outputs = _controller.Outputs;
        var flags = (latch.IsFired ? StatusFlags.Latched : 0)
            | (_controller.PresentCause(now) is not null ? StatusFlags.CausePresent : 0)
            | (outputs.HeaterOn ? StatusFlags.HeaterOn : 0)
            | (outputs.PlateRailOn ? StatusFlags.PlateRailOn : 0)
            | (_controller.IsRunning ? StatusFlags.Running : 0)
            | (Completed ? StatusFlags.Completed : 0);
        return new(
            Number, RigTime(now), flags, latch.IsFired ? latch.Cause : 0, latch.Firing,
            TripFigures.OnLink(latch.Cause, latch.First.Measured), TripFigures.OnLink(latch.Cause, latch.First.Limit), (uint)latch.FiredAt,
            (ushort)outputs.DriveCode, _controller.SupplyCode,
            outputs.HeaterOn ? (uint)Math.Clamp((now - outputs.HeaterOnSince) / 1000, 1, uint.MaxValue) : 0,
            (byte)outputs.Socket, Program, (ushort)FramesSent);
    }

    public void SendStatus(long now) => Send(now, Status(now));

    void IReports.Sampled(in Sample sample)
    {
        if (_samples is not { } samples) return;
        Span<ushort> all = [sample.Plate, sample.Grid, sample.Screen, sample.Supply, sample.Drive];
        Span<ushort> codes = stackalloc ushort[RigChannels.Count];
        var count = 0;
        for (var channel = 0; channel < all.Length; channel++)
            if ((_mask & (1 << channel)) != 0) codes[count++] = all[channel];
        var at = sample.AtMicroseconds - _controller.BootedAt;
        if (Add(sample, codes[..count])) return;
        SendSamples(sample.AtMicroseconds);
        if (!Add(sample, codes[..count])) throw new InvalidOperationException("SweepRig bug: an empty frame takes no sample.");

        bool Add(in Sample s, ReadOnlySpan<ushort> c) =>
            samples.TryAdd(s.Point, at, (ushort)s.DriveCode, s.Flags, (ushort)Math.Min(s.Averaged, ushort.MaxValue), s.Spread, c);
    }

    void IReports.Ended(long now, bool completed)
    {
        SendSamples(now);
        Completed = completed;
        Send(now, new ProgramEnd(Program, completed, (ushort)FramesSent, RigTime(now)));
    }

    void IReports.Tripped(long now)
    {
        var latch = _controller.Latch;
        Send(now, new Tripped(
            Number, latch.Firing, latch.Cause, (uint)latch.FiredAt,
            TripFigures.OnLink(latch.Cause, latch.First.Measured), TripFigures.OnLink(latch.Cause, latch.First.Limit)));
        if (Number == 0) return;
        Span<byte> payload = stackalloc byte[LinkProtocol.MaxPayloadBytes];
        for (var first = 0; first < _recorder.Count;)
        {
            var length = _recorder.Lay(first, payload, out var records);
            _wire.Send(_frame.AsSpan(0, FrameWriter.Write(LinkMessages.FlightRecord, _sequence++, payload[..length], _frame)), false);
            first += records;
        }
    }

    private static int Whole(long value) => (int)Math.Clamp(value, int.MinValue, int.MaxValue);

    private uint RigTime(long now) => (uint)(now - _controller.BootedAt);

    // A peer that passes the check and still makes no sense is not talking to this rig: safe, and no more until a new Hello.
    private void Break(long now)
    {
        _controller.Order(now, TripCause.ProtocolFault);
        Number = 0;
    }

    private void Identify(long now)
    {
        Send(now, new Identity(
            Number, now - _controller.BootedAt, _boot, (byte)_options.Tubes.Count, (byte)_options.Channels.Count,
            Domain.Rigs.Supplies.Heater | Domain.Rigs.Supplies.PlateRail | Domain.Rigs.Supplies.HeaterAdjustable | Domain.Rigs.Supplies.PlateRailAdjustable,
            (ushort)_options.LeaseMilliseconds, (ushort)_options.ConversionMicroseconds, 64, _reason));
        Send(now, new IdentityText(SimulatedRigDefaults.Firmware, SimulatedRigDefaults.Board, _options.SerialNumber));
        Send(now, IdentityDrive.Of(_options.Drive));
        foreach (var channel in _options.Channels) Send(now, IdentityChannel.Of(channel));
        Send(now, new IdentityLimits(LimitValues.Of(_options.HardLimits)));
    }

    private void SendSamples(long now)
    {
        if (_samples is not { Count: > 0 } samples) return;
        var written = samples.Write(_sequence++, _frame);
        _recorder.Note(RigTime(now), (byte)((LinkProtocol.Version << 5) | LinkMessages.Samples.Number), (byte)(_sequence - 1), [(byte)Program, (byte)(Program >> 8)]);
        if (_controller.Fault<SimulatedFault.NoSamples>(now) is not null) return;
        _wire.Send(_frame.AsSpan(0, written), false);
    }

    private void Send<T>(long now, in T message, bool isAnswer = false)
        where T : struct, ILinkMessage<T>
    {
        Span<byte> payload = stackalloc byte[LinkProtocol.MaxPayloadBytes];
        var writer = new FieldWriter(T.Declaration, payload);
        message.Write(ref writer);
        _recorder.Note(RigTime(now), (byte)((LinkProtocol.Version << 5) | T.Declaration.Number), _sequence, payload[..writer.Written]);
        var written = FrameWriter.Write(message, _sequence++, _frame);
        _wire.Send(_frame.AsSpan(0, written), isAnswer);
    }
}
