namespace SweepRig.Wire.Line;

/// <summary>What one direction of a line does to what it carries. Each rate is the chance, 0 to 1, for each byte or for each frame (bytes up to a 0x00).</summary>
public sealed record LineRates
{
    public static LineRates Clean { get; } = new();

    public double DropByte { get; init; }
    public double DropFrame { get; init; }
    public double DuplicateByte { get; init; }

    /// <summary>A second copy, at once or up to four frames later.</summary>
    public double DuplicateFrame { get; init; }

    /// <summary>A byte changes places with one up to eight further on in its frame.</summary>
    public double SwapBytes { get; init; }

    /// <summary>A frame goes out up to four frames later.</summary>
    public double SwapFrames { get; init; }

    public double FlipBit { get; init; }

    /// <summary>2 to 16 bytes in a row become noise.</summary>
    public double Burst { get; init; }

    /// <summary>A frame, and all behind it, waits up to <see cref="LongestDelay"/>.</summary>
    public double Delay { get; init; }

    public TimeSpan LongestDelay { get; init; } = TimeSpan.FromMilliseconds(60);

    /// <summary>As a delay, but long enough to lose leases and links.</summary>
    public double Stall { get; init; }

    public TimeSpan LongestStall { get; init; } = TimeSpan.FromMilliseconds(1_500);
}
