namespace SweepRig.Rigs;

/// <summary>
/// One pass as the rig runs it by itself, in DAC codes and microseconds. The rig runs the segments in turn; point numbers run through.
/// </summary>
/// <param name="Pass">Pass within the run; comes back with each sample.</param>
/// <param name="Segments">1 to 64 runs of evenly spaced codes.</param>
/// <param name="ChannelMask">Bit n set: channel n is converted.</param>
/// <param name="CeilingCode">Highest DAC code of this program; the rig trips above it.</param>
/// <param name="Timing">Dwell, settling and averaging, the same for all points.</param>
/// <param name="Wiring">How the socket is wired, without which the rig could not tell currents.</param>
public sealed record RigProgram(
    int Pass,
    IReadOnlyList<RigSegment> Segments,
    byte ChannelMask,
    ushort CeilingCode,
    RigTiming Timing,
    RigWiring Wiring)
{
    public int Points => Segments.Sum(s => s.Points);

    /// <summary>DAC code of a point, from 0, in the order of the program.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such point.</exception>
    public ushort CodeAt(int point)
    {
        var left = point;
        foreach (var segment in Segments)
        {
            if (left >= 0 && left < segment.Points) return segment.CodeAt(left);
            left -= segment.Points;
        }
        throw new ArgumentOutOfRangeException(nameof(point), point, $"The program has points 0 to {Points - 1}.");
    }
}

/// <summary>Codes from <paramref name="FromCode"/> to <paramref name="ToCode"/>, both ends included, in <paramref name="Points"/> steps.</summary>
/// <param name="FirstPoint">Number of its first point as reported in samples; lets lost points be measured again under their own number.</param>
public sealed record RigSegment(ushort FromCode, ushort ToCode, int Points, int FirstPoint)
{
    /// <summary>Code of step <paramref name="i"/> (0-based): from + round-half-away((to - from)·i / (points - 1)), in integers as the firmware does it.</summary>
    public ushort CodeAt(int i)
    {
        if (Points == 1) return FromCode;
        var numerator = 2L * (ToCode - FromCode) * i;
        var denominator = 2L * (Points - 1);
        var rounded = (numerator + (numerator >= 0 ? Points - 1 : -(Points - 1))) / denominator;
        return (ushort)(FromCode + rounded);
    }
}

/// <param name="DwellMicroseconds">Wait after each drive step.</param>
/// <param name="Conversions">Conversions of each channel to average, 1 to 256; ignored with mains periods.</param>
/// <param name="MainsPeriods">Whole mains periods to average over, 0 for a plain count.</param>
/// <param name="MainsHertz">50 or 60; ignored for a plain count.</param>
/// <param name="SettleToleranceCodes">Largest difference of two plate conversions that counts as settled; 0 for no settling rule.</param>
/// <param name="SettleTimeoutMicroseconds">Longest wait for settling.</param>
public sealed record RigTiming(
    int DwellMicroseconds,
    int Conversions,
    int MainsPeriods,
    int MainsHertz,
    int SettleToleranceCodes,
    int SettleTimeoutMicroseconds);
