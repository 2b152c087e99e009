namespace SweepRig.Storage.Schema;

/// <summary>A night of one rig. Times are ISO 8601 in UTC, so that they sort as text.</summary>
internal sealed class NightRow
{
    public long Number { get; set; }
    public required string Id { get; set; }

    /// <summary>The bench whose rig it is.</summary>
    public required string Bench { get; set; }

    public required string Rig { get; set; }
    public required string Name { get; set; }
    public required string Begun { get; set; }

    /// <summary>Null while it is not over.</summary>
    public string? Ended { get; set; }

    public string? EndedBecause { get; set; }

    /// <summary>As it was asked for.</summary>
    public required string Document { get; set; }

    /// <summary>Tubes in its sockets, as JSON.</summary>
    public required string Tubes { get; set; }

    /// <summary>How it was expected to go, as JSON.</summary>
    public required string Forecast { get; set; }

    /// <summary>What of its limits was used, as JSON.</summary>
    public required string Progress { get; set; }
}

/// <summary>One attempt at a step of a night, or a step that was left out.</summary>
internal sealed class NightStepRow
{
    public long Number { get; set; }
    public long Night { get; set; }
    public int Step { get; set; }
    public int Attempt { get; set; }
    public required string Job { get; set; }
    public int Socket { get; set; }
    public int Turn { get; set; }
    public required string Tube { get; set; }
    public required string State { get; set; }

    /// <summary>Seconds since the night began; null for a step that was left out.</summary>
    public double? Began { get; set; }

    public double? Ended { get; set; }
    public string? Verdict { get; set; }

    /// <summary>Ids with blanks between.</summary>
    public required string Runs { get; set; }

    public double Coulombs { get; set; }
}
