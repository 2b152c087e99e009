using System.Threading.Channels;

namespace SweepRig.Rigs.Link.Host;

/// <summary>What one rig's owner task keeps from connection to connection.</summary>
internal sealed class LinkMemory
{
    private readonly Channel<RigEvent> events = Channel.CreateUnbounded<RigEvent>(new() { SingleReader = true, SingleWriter = true });

    public ChannelReader<RigEvent> Events => events.Reader;

    public long Frames { get; set; }
    public long Damaged { get; set; }
    public long Resent { get; set; }
    public long Lost { get; set; }
    public long Handshakes { get; set; }

    /// <summary>Serial number and start of the rig last connected; null before the first.</summary>
    public (string SerialNumber, ushort Boot)? LastRig { get; set; }

    /// <summary>Firing of the latch that was last told as an event.</summary>
    public (string SerialNumber, ushort Boot, ushort Latch)? LastTrip { get; set; }

    public ushort LastProgram { get; set; }

    public LinkCounters Counters => new(Frames, Damaged, Resent, Lost, Math.Max(0, Handshakes - 1));

    public void Tell(RigEvent happened) => events.Writer.TryWrite(happened);

    public void Close() => events.Writer.TryComplete();
}
