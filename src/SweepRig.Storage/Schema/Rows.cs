namespace SweepRig.Storage.Schema;

/// <summary>A run. Times are ISO 8601 in UTC, so that they sort as text.</summary>
internal sealed class RunRow
{
    /// <summary>Short key for the rows of the run.</summary>
    public long Number { get; set; }

    public required string Id { get; set; }
    public required string Started { get; set; }
    public string? Ended { get; set; }
    public required string State { get; set; }
    public long Samples { get; set; }
    public required string TubeLabel { get; set; }
    public required string TubeType { get; set; }
    public string? Lot { get; set; }
    public int Socket { get; set; }

    /// <summary>The bench that recorded it; null for runs older than the column.</summary>
    public string? Bench { get; set; }

    /// <summary>Writes of its recording that are in the store, so that none is done twice.</summary>
    public long Writes { get; set; }

    /// <summary>The screening that it is a step of; null for a sweep, empty where only the header of an old run says which.</summary>
    public string? Screening { get; set; }

    /// <summary>The sweep plan, in the shape of a plan document; empty where <see cref="PlanText"/> has it.</summary>
    public required string Plan { get; set; }

    /// <summary>Number of the plan among the shared texts; null for runs older than those.</summary>
    public long? PlanText { get; set; }

    /// <summary>All else that was known before the first sample, but for what <see cref="SetupText"/> has.</summary>
    public required string Header { get; set; }

    /// <summary>Number of what rig, calibration and passes say of themselves among the shared texts; null for runs older than those.</summary>
    public long? SetupText { get; set; }
}

/// <summary>A text that many runs have in common.</summary>
internal sealed class TextRow
{
    public long Number { get; set; }

    /// <summary>SHA-256 of the body in UTF-8, as hex digits.</summary>
    public required string Hash { get; set; }

    public required string Body { get; set; }
}

/// <summary>Blocks of an ended run that follow each other.</summary>
internal sealed class PackRow
{
    public long Number { get; set; }
    public long Run { get; set; }

    /// <summary>Sequence number of the first of them.</summary>
    public long Sequence { get; set; }

    public int Blocks { get; set; }
    public required byte[] Data { get; set; }
}

internal sealed class BlockRow
{
    public long Run { get; set; }
    public long Sequence { get; set; }
    public int Pass { get; set; }
    public int FrameIndex { get; set; }
    public int Samples { get; set; }
    public required byte[] Data { get; set; }
}

internal sealed class TripRow
{
    public long Number { get; set; }
    public long Run { get; set; }

    /// <summary>Number of the TripCause; numbers never change.</summary>
    public int Cause { get; set; }

    public bool ByRig { get; set; }
    public required string Measured { get; set; }
    public required string Limit { get; set; }
    public required string Occurred { get; set; }
    public long? RigMicroseconds { get; set; }
}

internal sealed class GapRow
{
    public long Number { get; set; }
    public long Run { get; set; }
    public int Pass { get; set; }
    public int FirstPoint { get; set; }
    public int Points { get; set; }
    public required string Reason { get; set; }
}

/// <summary>A calibration that was finished.</summary>
internal sealed class CalibrationRow
{
    public long Number { get; set; }
    public required string Id { get; set; }

    /// <summary>Serial number of the rig.</summary>
    public required string Rig { get; set; }

    public required string Made { get; set; }
    public required string Document { get; set; }
}

/// <summary>A calibration under way, as far as it has come.</summary>
internal sealed class BegunCalibrationRow
{
    /// <summary>Serial number of the rig; one calibration of a rig is under way at a time.</summary>
    public required string Rig { get; set; }

    public required string Saved { get; set; }
    public required string Document { get; set; }
}
