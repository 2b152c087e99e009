using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Benchmarks.Link;

/// <summary>
/// Inputs for the decoders of this side: noise, good frames, and good frames with something wrong, in streams as a line brings them. Every message is
/// decoded from whatever passes the check. Deterministic for a seed.
/// </summary>
internal sealed class DecoderFuzz(int seed)
{
    private readonly Random _random = new(seed);
    private readonly FrameReader _reader = new();
    private readonly byte[] _wire = new byte[4 * LinkProtocol.MaxWireBytes];
    private readonly byte[] _payload = new byte[LinkProtocol.MaxPayloadBytes];
    private readonly byte[] _good = new byte[LinkProtocol.MaxFrameBytes];

    /// <summary>Inputs that were a good frame, damaged.</summary>
    public long Damaged { get; private set; }

    /// <summary>Damaged inputs that a reader took for a frame; a check of 32 bits lets one of 4.3e9 through.</summary>
    public long Accepted { get; private set; }

    /// <summary>Undamaged inputs that were not read back as they were.</summary>
    public long Refused { get; private set; }

    /// <summary>Frames that passed the check and made no sense, as they must be told.</summary>
    public long Faulted { get; private set; }

    public void Run(long inputs)
    {
        for (long i = 0; i < inputs; i++)
        {
            switch (_random.Next(4))
            {
                case 0:
                    Noise();
                    break;
                case 1:
                    GoodFrame();
                    break;
                default:
                    DamagedFrame();
                    break;
            }
        }
    }

    private void Noise()
    {
        var noise = _wire.AsSpan(0, _random.Next(1, 3 * LinkProtocol.MaxWireBytes));
        _random.NextBytes(noise);
        // Half of them short of the values that end a frame or a run, where random bytes seldom stay long.
        if (_random.Next(2) == 0)
            foreach (ref var b in noise) b = (byte)(1 + b % 8);
        noise[^1] = 0;
        Damaged++;
        Accepted += Read(noise, default, out _);
    }

    private void GoodFrame()
    {
        var length = Lay(out var sent);
        var found = Read(_wire.AsSpan(0, length), _good.AsSpan(0, sent), out var same);
        if (found != 1 || !same) Refused++;
    }

    private void DamagedFrame()
    {
        var length = Lay(out var sent);
        length = Damage(length);
        Damaged++;
        Read(_wire.AsSpan(0, length), _good.AsSpan(0, sent), out var same, out var others);
        // Damage that leaves or makes the very frame again is none: a zero more before or after it, or two changes that cancel out.
        Accepted += others;
        if (same && others == 0) Damaged--;
    }

    /// <summary>Lays a random message out in the wire buffer, its 0x00 included.</summary>
    private int Lay(out int sent)
    {
        var message = LinkMessages.All[_random.Next(LinkMessages.All.Count)];
        var payload = _payload.AsSpan(0, _random.Next(3) == 0 ? _random.Next(LinkProtocol.MaxPayloadBytes + 1) : message.FixedBytes);
        _random.NextBytes(payload);
        if (_random.Next(2) == 0)
            foreach (ref var b in payload) b = (byte)(b % 4 == 0 ? 0 : b);
        var sequence = (byte)_random.Next(256);
        var length = FrameWriter.Write(message, sequence, payload, _wire);
        (_good[0], _good[1]) = ((byte)((LinkProtocol.Version << 5) | message.Number), sequence);
        payload.CopyTo(_good.AsSpan(LinkProtocol.HeaderBytes));
        sent = LinkProtocol.HeaderBytes + payload.Length;
        return length;
    }

    private int Damage(int length)
    {
        for (var changes = 1 + _random.Next(3); changes > 0; changes--)
        {
            var at = _random.Next(length);
            switch (_random.Next(6))
            {
                case 0:
                    _wire[at] ^= (byte)(1 << _random.Next(8));
                    break;
                case 1:
                    _wire[at] = (byte)_random.Next(256);
                    break;
                case 2 when length > 2:
                    _wire.AsSpan(at + 1, length - at - 1).CopyTo(_wire.AsSpan(at));
                    length--;
                    break;
                case 3:
                    _wire.AsSpan(at, length - at).CopyTo(_wire.AsSpan(at + 1));
                    _wire[at] = (byte)_random.Next(256);
                    length++;
                    break;
                case 4:
                    _random.NextBytes(_wire.AsSpan(at, Math.Min(1 + _random.Next(16), length - at)));
                    break;
                default:
                    var with = _random.Next(length);
                    (_wire[at], _wire[with]) = (_wire[with], _wire[at]);
                    break;
            }
        }
        _wire[length++] = 0;
        return length;
    }

    private int Read(ReadOnlySpan<byte> wire, ReadOnlySpan<byte> sent, out bool same)
    {
        Read(wire, sent, out same, out var others);
        return others + (same ? 1 : 0);
    }

    private void Read(ReadOnlySpan<byte> wire, ReadOnlySpan<byte> sent, out bool same, out int others)
    {
        (same, others) = (false, 0);
        ReadResult result;
        while ((result = _reader.Next(ref wire, out var frame)) != ReadResult.NeedMore)
        {
            if (result == ReadResult.Damaged)
            {
                _ = _reader.DamagedHex.Length;
                continue;
            }
            if (frame.Bytes.SequenceEqual(sent)) same = true;
            else others++;
            if (Decode(frame) is not null) Faulted++;
        }
    }

    /// <summary>Each decoder as the sessions of both ends use it; a fault is a value, an exception a failure.</summary>
    private static FieldFault? Decode(LinkFrame frame) => frame.Type switch
    {
        1 => frame.Decode<Hello>(out _),
        2 => frame.Decode<Limits>(out _),
        3 => frame.Decode<Supplies>(out _),
        4 => frame.Decode<ProgramBegin>(out _),
        5 => frame.Decode<ProgramSegment>(out _),
        6 => frame.Decode<ProgramStart>(out _),
        7 => frame.Decode<Renew>(out _),
        8 => frame.Decode<Stop>(out _),
        9 => frame.Decode<Safe>(out _),
        10 => frame.Decode<Release>(out _),
        11 => frame.Decode<AskStatus>(out _),
        16 => frame.Decode<Identity>(out _),
        17 => frame.Decode<IdentityText>(out _),
        18 => frame.Decode<IdentityDrive>(out _),
        19 => frame.Decode<IdentityChannel>(out _),
        20 => frame.Decode<IdentityLimits>(out _),
        21 => frame.Decode<Ack>(out _),
        22 => frame.Decode<Nack>(out _),
        23 => frame.Decode<Status>(out _),
        24 => SampleFrame.DecodeHeader(frame, out var header) ?? SampleFrame.DecodeSamples(frame, header, 0, 0, 0, false, out _),
        25 => frame.Decode<ProgramEnd>(out _),
        26 => frame.Decode<Tripped>(out _),
        27 => frame.Decode<Restarted>(out _),
        _ => null,
    };
}
