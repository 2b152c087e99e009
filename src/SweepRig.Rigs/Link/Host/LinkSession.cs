using System.Buffers;
using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>
/// One connection, from the opened stream to its end: handshake, requests, lease, silence. Everything happens on the owner task, which takes bytes,
/// commands and timer ticks from one inbox; what must not wait goes through the urgent lane, looked at before each item of the inbox.
/// </summary>
internal sealed partial class LinkSession
{
    /// <summary>A board may need this long before it answers: boot loaders wait about a second after a reset (common practice, no source).</summary>
    public static readonly TimeSpan HandshakeTimeout = TimeSpan.FromSeconds(2.5);

    public static readonly TimeSpan HelloPeriod = TimeSpan.FromMilliseconds(250);

    private static readonly TimeSpan HealthPeriod = TimeSpan.FromSeconds(1);

    private readonly Channel<Inbound> inbox = Channel.CreateUnbounded<Inbound>(new() { SingleReader = true });
    private readonly ConcurrentQueue<Command> urgent = new();
    private readonly Stream stream;
    private readonly string port;
    private readonly TimeProvider time;
    private readonly ILogger logger;
    private readonly LinkMemory memory;
    private readonly IRigGate? gate;
    private readonly long origin;
    private readonly FrameReader reader = new();
    private readonly RequestLane lane = new();
    private readonly byte[] outgoing = new byte[LinkProtocol.MaxWireBytes];

    private SessionEnd? end;
    private TimeSpan renewAt = TimeSpan.MaxValue;
    private TimeSpan silentAt = TimeSpan.MaxValue;
    private TimeSpan healthAt;
    private TimeSpan armedFor = TimeSpan.MaxValue;
    private LinkCounters toldCounters;
    private byte renewals;
    private bool breaking;
    private bool breakRetrying;
    private string breakReason = "";

    public LinkSession(Stream stream, string port, TimeProvider time, ILogger logger, LinkMemory memory, IRigGate? gate)
    {
        (this.stream, this.port, this.time, this.logger, this.memory, this.gate) = (stream, port, time, logger, memory, gate);
        origin = time.GetTimestamp();
        toldCounters = memory.Counters;
    }

    /// <summary>The rig, while the handshake stands.</summary>
    public RigIdentity? Identity { get; private set; }

    /// <summary>True if the handshake was done at least once.</summary>
    public bool WasConnected { get; private set; }

    /// <summary>Segments that a program may have on this rig.</summary>
    public int SegmentCapacity { get; private set; }

    private TimeSpan Now => time.GetElapsedTime(origin);

    private long ReceivedAt => time.GetTimestamp();

    /// <summary>Hands a command to the owner task. Safe from any thread.</summary>
    public Task<RigReply> Post(Command command, bool goesAhead = false)
    {
        if (goesAhead) urgent.Enqueue(command);
        var item = goesAhead ? new Inbound(InboundKind.Wake) : new(InboundKind.Command, Command: command);
        if (!inbox.Writer.TryWrite(item)) command.Reply.TrySetResult(Refusals.NotConnected(port));
        return command.Reply.Task;
    }

    /// <summary>Asks the owner task to leave the rig safe and end. Safe from any thread.</summary>
    public void Close() => inbox.Writer.TryWrite(new(InboundKind.Close));

    /// <summary>Runs the connection to its end.</summary>
    public async Task<SessionEnd> RunAsync()
    {
        using var reading = new CancellationTokenSource();
        var pump = ReadPump.RunAsync(stream, inbox.Writer, reading.Token);
        var timer = time.CreateTimer(_ => inbox.Writer.TryWrite(new(InboundKind.Tick)), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        try
        {
            ShakeHands();
            await FlushAsync().ConfigureAwait(false);
            while (end is null)
            {
                Arm(timer);
                await inbox.Reader.WaitToReadAsync().ConfigureAwait(false);
                while (end is null && inbox.Reader.TryRead(out var item))
                {
                    while (urgent.TryDequeue(out var command)) Begin(command);
                    await FlushAsync().ConfigureAwait(false);
                    await HandleAsync(item).ConfigureAwait(false);
                    await FlushAsync().ConfigureAwait(false);
                }
            }
            return end;
        }
        finally
        {
            inbox.Writer.TryComplete();
            Identity = null;
            FailAll(Refusals.Lost);
            await timer.DisposeAsync().ConfigureAwait(false);
            await reading.CancelAsync().ConfigureAwait(false);
            // The stream's owner closes it in the background where closing may take long; the pump ends with it and holds nothing else.
            await stream.DisposeAsync().ConfigureAwait(false);
            _ = pump;
        }
    }

    private async ValueTask HandleAsync(Inbound item)
    {
        switch (item.Kind)
        {
            case InboundKind.Bytes:
                Take(item.Buffer!, item.Length);
                break;
            case InboundKind.Failed:
                End(LostReason($"the port failed ({item.Fault})"), true);
                break;
            case InboundKind.Command:
                Begin(item.Command!);
                break;
            case InboundKind.Tick:
                armedFor = TimeSpan.MaxValue;
                await TickAsync().ConfigureAwait(false);
                break;
            case InboundKind.Close:
                await SayGoodbyeAsync().ConfigureAwait(false);
                End("The connection was closed by this program.", false);
                break;
            case InboundKind.Wake:
                break;
            default:
                throw new InvalidOperationException($"SweepRig bug: inbox item {item.Kind}.");
        }
    }

    private void Begin(Command command)
    {
        if (Identity is null)
        {
            command.Reply.TrySetResult(Refusals.NotConnected(port));
            return;
        }
        var (exchange, refusal) = command.Make(this);
        if (exchange is null)
        {
            command.Reply.TrySetResult(refusal ?? throw new InvalidOperationException("SweepRig bug: neither exchange nor refusal."));
            return;
        }
        exchange.ReplyTo = command.Reply;
        if (exchange.GoesAhead) lane.Overtake(exchange);
        else lane.Enqueue(exchange);
    }

    private async ValueTask TickAsync()
    {
        var now = Now;
        if (now >= silentAt)
        {
            End(Identity is null ? NothingUseful() : LostReason($"nothing came for {LinkProtocol.Silence.TotalMilliseconds:0} ms"), true);
            return;
        }
        if (now >= lane.Deadline)
        {
            if (lane.TryRepeat(now, outgoing, out var written))
            {
                memory.Resent++;
                await SendAsync(written).ConfigureAwait(false);
            }
            else
            {
                var name = lane.InFlight!.Name;
                lane.Abandon(Refusals.NoAnswer(name));
                End(LostReason($"{name} was sent {LinkProtocol.Attempts} times and not answered"), true);
                return;
            }
        }
        if (now >= renewAt) await RenewAsync(now).ConfigureAwait(false);
        if (now >= healthAt) TellHealth(now);
    }

    private async ValueTask RenewAsync(TimeSpan now)
    {
        if (now - renewAt > LinkProtocol.RenewPeriod / 2) LinkTelemetry.LateRenewal(port);
        renewAt = now + LinkProtocol.RenewPeriod;
        await SendAsync(FrameWriter.Write(new Renew(handshake!.Session), renewals++, outgoing)).ConfigureAwait(false);
    }

    /// <summary>Sends what the last item of the inbox has made due.</summary>
    private async ValueTask FlushAsync()
    {
        var now = Now;
        if (end is null && breaking)
        {
            await SendAsync(FrameWriter.Write(new Safe(), lane.NextSequence(), outgoing)).ConfigureAwait(false);
            End(breakReason, breakRetrying);
        }
        if (end is null && now >= helloAt) await SendAsync(LayHello(now)).ConfigureAwait(false);
        if (end is null && lane.TryBegin(now, outgoing, out var written)) await SendAsync(written).ConfigureAwait(false);
    }

    private async ValueTask SendAsync(int written)
    {
        if (end is not null) return;
        try
        {
            await stream.WriteAsync(outgoing.AsMemory(0, written)).AsTask().WaitAsync(LinkProtocol.Silence, time).ConfigureAwait(false);
        }
        catch (Exception e) when (ReadPump.IsPortFault(e))
        {
            End(LostReason($"the port did not take what was sent ({e.Message})"), true);
        }
    }

    /// <summary>Leaves the rig as a bench should be left: program ended, supplies off. Without waiting; the lease stands behind it.</summary>
    private async ValueTask SayGoodbyeAsync()
    {
        if (Identity is null) return;
        await SendAsync(FrameWriter.Write(new Stop(), lane.NextSequence(), outgoing)).ConfigureAwait(false);
        await SendAsync(FrameWriter.Write(new Messages.Supplies(SupplySwitches.None, socket, 0, 0), lane.NextSequence(), outgoing)).ConfigureAwait(false);
    }

    private void TellHealth(TimeSpan now)
    {
        healthAt = TimeSpan.MaxValue;
        var counters = memory.Counters;
        if (counters with { Frames = 0 } == toldCounters with { Frames = 0 }) return;
        toldCounters = counters;
        healthAt = now + HealthPeriod;
        memory.Tell(new RigEvent.LinkHealth(ReceivedAt, counters));
    }

    private void NoteHealth()
    {
        if (healthAt == TimeSpan.MaxValue && memory.Counters with { Frames = 0 } != toldCounters with { Frames = 0 }) healthAt = Now;
    }

    private void Arm(ITimer timer)
    {
        NoteHealth();
        var next = Earliest(Earliest(lane.Deadline, renewAt), Earliest(silentAt, Earliest(healthAt, helloAt)));
        if (next >= armedFor || next == TimeSpan.MaxValue) return;
        armedFor = next;
        var wait = next - Now;
        timer.Change(wait > TimeSpan.Zero ? wait : TimeSpan.Zero, Timeout.InfiniteTimeSpan);
    }

    private static TimeSpan Earliest(TimeSpan a, TimeSpan b) => a < b ? a : b;

    /// <summary>A peer that passed the check and makes no sense: the rig is told to be safe, then the connection ends with the first reason.</summary>
    private void Break(string reason, bool retrying)
    {
        if (!breaking) (breaking, breakReason, breakRetrying) = (true, reason, retrying);
    }

    private void End(string reason, bool retrying) => end ??= new(reason, retrying);

    private void FailAll(Func<string, RigReply> reply)
    {
        lane.Clear(reply);
        while (urgent.TryDequeue(out var command)) command.Reply.TrySetResult(reply(command.Name));
        while (inbox.Reader.TryRead(out var item))
        {
            if (item.Buffer is not null) ArrayPool<byte>.Shared.Return(item.Buffer);
            item.Command?.Reply.TrySetResult(Refusals.NotConnected(port));
        }
    }

    private string LostReason(string what) =>
        $"The link to the rig on {port} was lost: {what}. The rig makes itself safe within its lease. Check cable and power; the connection is tried again.";

    private static ushort NewSession() => (ushort)RandomNumberGenerator.GetInt32(1, 65536);
}
