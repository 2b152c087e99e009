using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>The handshake: Hello until the rig has said all about itself, then its state, then connected.</summary>
internal sealed partial class LinkSession
{
    private Handshake handshake = new(1);
    private RigIdentity? introduced;
    private TimeSpan helloAt = TimeSpan.MaxValue;
    private byte hellos;
    private bool clockWentBack;
    private bool heardRig;
    private bool heardEcho;

    private void ShakeHands()
    {
        handshake = new(NewSession());
        (introduced, Identity, program) = (null, null, null);
        (heardRig, heardEcho, received) = (false, false, 0);
        (newestStatus, Latch) = (long.MinValue, 0);
        renewAt = TimeSpan.MaxValue;
        helloAt = Now;
        silentAt = Now + HandshakeTimeout;
    }

    private int LayHello(TimeSpan now)
    {
        helloAt = now + HelloPeriod;
        // The leading 0x00 ends whatever a program before this one left unfinished.
        outgoing[0] = 0;
        return 1 + FrameWriter.Write(new Hello(handshake.Session), hellos++, outgoing.AsSpan(1));
    }

    /// <summary>Before the rig is introduced only answers to this very Hello count: a line may still hold frames of an earlier session.</summary>
    private void TakeInHandshake(LinkFrame frame)
    {
        if (frame.Type < LinkMessages.Identity.Number)
        {
            heardEcho = true;
            return;
        }
        heardRig = true;
        if (handshake.Take(frame) is { } fault)
        {
            Break($"The rig on {port} describes itself wrongly: {fault}. Check its firmware.", false);
            return;
        }
        if (frame.Type != LinkMessages.Ack.Number || frame.Decode<Ack>(out var ack) is not null) return;
        if (ack.RequestType != LinkMessages.Hello.Number || ack.Session != handshake.Session || !handshake.IsComplete) return;
        if (handshake.TryFinish(out introduced) is { } contradiction)
        {
            Break($"The rig on {port} describes itself wrongly: {contradiction}. Check its firmware.", false);
            return;
        }
        if (gate?.Enter(introduced!) is { } turnedAway)
        {
            // Without an order to be safe: it may be at work for somebody else.
            End(turnedAway.Reason, turnedAway.Retrying);
            return;
        }
        // Its state is asked for before anyone is told, so that a release or a stop can name what it means from the first moment.
        (helloAt, clock) = (TimeSpan.MaxValue, new(handshake.Head!.Value.TimeMicroseconds));
        renewAt = Now;
        lane.Enqueue(new Exchange("the question for the state").Add(new AskStatus()));
    }

    private void Connect()
    {
        var head = handshake.Head!.Value;
        var identity = introduced!;
        var rig = (identity.SerialNumber, head.Boot);
        var restarted = clockWentBack || (memory.LastRig is { } last && last.SerialNumber == rig.SerialNumber && last.Boot != rig.Boot && !toldRestart);
        if (restarted) memory.Tell(new RigEvent.Restarted(ReceivedAt, identity.LastReset));
        (clockWentBack, toldRestart) = (false, false);
        memory.LastRig = rig;
        memory.Handshakes++;
        SegmentCapacity = head.SegmentCapacity;
        (Identity, WasConnected) = (identity, true);
        memory.Tell(new RigEvent.Connected(ReceivedAt, identity));
    }

    private string NothingUseful()
    {
        if (heardRig) return $"The rig on {port} speaks the rig link but did not finish the handshake within {HandshakeTimeout.TotalSeconds} s. Check the cable.";
        if (heardEcho) return $"What is on {port} sends back what it is sent: a looped cable, or a terminal that echoes. Connect a rig, or check the port.";
        return received > 0
            ? $"What is on {port} does not speak the rig link: {received} bytes, no valid frame; check the port and the baud rate."
            : $"Nothing answers on {port}: 0 bytes within {HandshakeTimeout.TotalSeconds} s; check that the rig is powered, the port and the baud rate.";
    }
}
