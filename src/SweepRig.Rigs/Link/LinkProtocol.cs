namespace SweepRig.Rigs.Link;

/// <summary>The figures of link protocol version 1. <c>firmware-notes/link-protocol.md</c> says what they mean.</summary>
public static class LinkProtocol
{
    public const int Version = 1;

    /// <summary>Longest decoded frame: two bytes of header, payload, four of check.</summary>
    public const int MaxFrameBytes = 128;

    public const int HeaderBytes = 2;
    public const int CheckBytes = 4;
    public const int MaxPayloadBytes = MaxFrameBytes - HeaderBytes - CheckBytes;

    /// <summary>Longest frame on the wire: one byte of stuffing for up to 254 bytes (Cheshire and Baker 1999), and the 0x00 that ends it.</summary>
    public const int MaxWireBytes = MaxFrameBytes + 2;

    public static TimeSpan StatusPeriod { get; } = TimeSpan.FromMilliseconds(100);

    /// <summary>Nothing good received for so long means that the link is lost: a vanished pseudo-terminal raises no error.</summary>
    public static TimeSpan Silence { get; } = TimeSpan.FromMilliseconds(500);

    /// <summary>How often the host renews the lease: four renewals within the default lease of 300 ms, so three may be lost.</summary>
    public static TimeSpan RenewPeriod { get; } = TimeSpan.FromMilliseconds(70);

    /// <summary>How long the host waits for the answer to a request before it sends it again.</summary>
    public static TimeSpan AnswerTimeout { get; } = TimeSpan.FromMilliseconds(100);

    /// <summary>How often a request is sent in all before it counts as unanswered.</summary>
    public const int Attempts = 4;

    /// <summary>Longest time from a sample to its frame, so that a slow sweep is seen as it happens.</summary>
    public static TimeSpan FrameHold { get; } = TimeSpan.FromMilliseconds(20);
}
