namespace SweepRig.Domain.Stock;

/// <summary>What can happen to a tube of the stock.</summary>
public enum TubeChangeKind
{
    /// <summary>It came into the stock; the text is its lot.</summary>
    Booked,

    /// <summary>Its type was read or found out; the text is the type.</summary>
    Identified,

    /// <summary>It was put into a box or drawer; the text says which.</summary>
    Moved,

    /// <summary>It was screened; the text is the verdict.</summary>
    Screened,

    /// <summary>It was given a grade; the text is the grade.</summary>
    Graded,

    /// <summary>It was plugged in for good; the text says circuit and position.</summary>
    PutToUse,

    /// <summary>It was pulled and is back in the stock; the text says why.</summary>
    TakenOut,

    /// <summary>It is not to be used any more; the text says why.</summary>
    Retired,

    /// <summary>It is in the stock again after all; the text says why.</summary>
    Returned,

    /// <summary>Something to remember.</summary>
    Noted,
}

/// <summary>Something that happened to a tube.</summary>
/// <param name="Kind">What.</param>
/// <param name="Text">What goes with it, see <see cref="TubeChangeKind"/>; one line of 1 to <see cref="LongestText"/> characters.</param>
/// <param name="AtUtc">When.</param>
public sealed record TubeChange(TubeChangeKind Kind, string Text, DateTimeOffset AtUtc)
{
    public const int LongestText = 200;
}
