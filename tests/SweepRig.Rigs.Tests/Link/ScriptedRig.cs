using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>The rig's end of a line, played by a test step by step: late, wrong, twice or silent as the test likes.</summary>
internal sealed class ScriptedRig(DuplexStream line)
{
    private readonly FrameReader reader = new();
    private readonly byte[] buffer = new byte[4096];
    private ReadOnlyMemory<byte> rest;
    private byte sequence;

    public ushort Session { get; set; }

    public ushort Boot { get; set; } = 7;

    public uint Time { get; set; } = 1_000_000;

    public byte SegmentCapacity { get; set; } = 16;

    /// <summary>Renewals of the lease seen so far.</summary>
    public int Renewals { get; private set; }

    /// <summary>Waits for the host's next message other than a renewal, which must be this one.</summary>
    public async Task<(T Message, byte Sequence)> ExpectAsync<T>()
        where T : struct, ILinkMessage<T>
    {
        while (true)
        {
            if (TryNext<T>(out var found)) return found;
            var length = await line.ReadAsync(buffer).AsTask().WaitAsync(Deadline.Time);
            Assert.True(length > 0, $"The host closed the line while {T.Declaration.Name} was awaited.");
            rest = buffer.AsMemory(0, length);
        }
    }

    /// <summary>Waits until the host closes the line.</summary>
    public async Task ExpectCloseAsync()
    {
        while (await line.ReadAsync(buffer).AsTask().WaitAsync(Deadline.Time) > 0)
        {
        }
    }

    public ValueTask HangUpAsync() => line.DisposeAsync();

    public void Send<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        SendRaw(wire[..FrameWriter.Write(message, sequence++, wire)]);
    }

    public void SendRaw(byte[] bytes) => line.Write(bytes, 0, bytes.Length);

    public void Ack<T>(byte request)
        where T : struct, ILinkMessage<T> => Send(new Ack(T.Declaration.Number, request, Session));

    /// <summary>Waits for a request and acknowledges it.</summary>
    public async Task<T> AcceptAsync<T>()
        where T : struct, ILinkMessage<T>
    {
        var (message, request) = await ExpectAsync<T>();
        Ack<T>(request);
        return message;
    }

    public async Task IntroduceAsync()
    {
        var (hello, request) = await ExpectAsync<Hello>();
        Introduce(hello, request);
        (_, request) = await ExpectAsync<AskStatus>();
        Send(Status());
        Ack<AskStatus>(request);
    }

    public void Introduce(Hello hello, byte request)
    {
        Session = hello.Session;
        Send(new Identity(Session, Time, Boot, 4, 5, (Domain.Rigs.Supplies)15, 300, 16, SegmentCapacity, ResetReason.PowerOn));
        Send(new IdentityText("scripted 1.0", "in memory", "S-001"));
        Send(new IdentityDrive(12, -16_000_000, 32_000_000));
        for (byte channel = 0; channel < 5; channel++) Send(new IdentityChannel(channel, 12, 4, channel == 1 ? -20_480_000 : 0, 40_960_000));
        Send(new IdentityLimits(new(-14_000_000, 26_000_000, 8_000_000, 30_000_000, 0, 40_000_000, 40_000)));
        Ack<Hello>(request);
    }

    public Status Status(StatusFlags flags = StatusFlags.None, TripCause cause = 0, ushort latch = 1, ushort program = 0, ushort frames = 0) =>
        new(Session, Time += 1000, flags, cause, latch, 0, 0, Time, 170, 0, 0, 0, program, frames);

    private bool TryNext<T>(out (T, byte) found)
        where T : struct, ILinkMessage<T>
    {
        found = default;
        var input = rest.Span;
        while (true)
        {
            var result = reader.Next(ref input, out var frame);
            rest = rest[^input.Length..];
            if (result == ReadResult.NeedMore) return false;
            Assert.Equal(ReadResult.Frame, result);
            if (frame.Type == LinkMessages.Renew.Number && T.Declaration != LinkMessages.Renew)
            {
                Renewals++;
                continue;
            }
            Assert.Equal(T.Declaration.Name, LinkMessages.Find(frame.Type)?.Name);
            Assert.Null(frame.Decode<T>(out var message));
            found = (message, frame.Sequence);
            return true;
        }
    }
}

internal static class Deadline
{
    /// <summary>Far longer than anything takes; only a test that fails waits for it.</summary>
    public static TimeSpan Time { get; } = TimeSpan.FromSeconds(20);
}
