namespace SweepRig.Wire.Campaign;

public enum SweepEnd
{
    /// <summary>Every point measured.</summary>
    Complete,

    /// <summary>Ran to its end and names the points that are missing.</summary>
    WithGaps,

    /// <summary>The line was so bad that no sweep began, or an interlock ended it.</summary>
    RefusedOrTripped,
}

/// <summary>What became of one sweep.</summary>
/// <param name="Kind">What was wrong with the line.</param>
/// <param name="Seed">With the kind, all there is to replay it.</param>
/// <param name="End">How it ended.</param>
/// <param name="How">Trip or refusal, for people.</param>
/// <param name="FramesDamaged">Frames that the line lost, changed, doubled, moved or made wait, both ways.</param>
/// <param name="Repeats">Points on record that had to be measured again.</param>
/// <param name="Samples">Samples on record.</param>
/// <param name="WrongSamples">Samples on record that the rig never measured so, or that stand there twice.</param>
/// <param name="UnsafeEnds">1 if the rig was driving at some time when it had no business to.</param>
/// <param name="Violations">Everything that must not happen, in words.</param>
public sealed record SweepVerdict(
    FaultKind Kind, int Seed, SweepEnd End, string How, long FramesDamaged, int Repeats, int Samples, int WrongSamples, int UnsafeEnds,
    IReadOnlyList<string> Violations);
