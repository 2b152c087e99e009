namespace SweepRig.Domain.Runs;

[Flags]
public enum SampleFlags : byte
{
    None = 0,
    Settled = 1,

    /// <summary>At least one conversion of one channel was at the end of its converter's range.</summary>
    Clipped = 2,

    /// <summary>Measured again at the end of the pass because the first reading was lost on the link.</summary>
    Repeated = 4,
}

/// <summary>
/// Samples as the rig sent them, one array a column, all of length <see cref="Count"/>. Raw codes are what is stored; volts are derived.
/// </summary>
public sealed record SampleBlock
{
    /// <summary>Pass within the run, from 0.</summary>
    public required int Pass { get; init; }

    /// <summary>The rig's running number of the frame within the pass, from 0; a jump is a loss.</summary>
    public required int FrameIndex { get; init; }

    public int Count => PointIndex.Length;

    /// <summary>Point within the pass in the order of the program, from 0.</summary>
    public required ushort[] PointIndex { get; init; }

    /// <summary>Rig clock at the end of each sample, microseconds since the rig's reset, 64 bit.</summary>
    public required long[] SampledAtTicks { get; init; }

    /// <summary>DAC code of the drive.</summary>
    public required ushort[] DriveCode { get; init; }

    public required SampleFlags[] Flags { get; init; }

    /// <summary>Conversions averaged in each sample.</summary>
    public required ushort[] AveragedCount { get; init; }

    /// <summary>Largest minus smallest plate conversion within the average, in conversion codes, saturating at 65535.</summary>
    public required ushort[] Spread { get; init; }

    /// <summary>Stored codes, <c>[channel][sample]</c>, indexed by <see cref="RigChannel"/>; an unmeasured channel has an empty array.</summary>
    public required ushort[][] Codes { get; init; }
}
