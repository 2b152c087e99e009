namespace SweepRig.Wire.Exploration;

/// <summary>One direction of the line: what is on its way in order, and one message that the line holds up or has kept a copy of.</summary>
internal record struct Way
{
    public Letters Queue { get; set; }

    public ushort Held { get; set; }

    /// <summary>Steps of time since that was sent.</summary>
    public byte HeldFor { get; set; }
}

/// <summary>Everything there is: rig, line, host, and what surrounds them. Two worlds are the same when all of it is.</summary>
internal record struct World
{
    /// <summary>Steps of time that the line may hold a message up.</summary>
    public const int LongestHold = 2;

    /// <summary>Counters of time stand still here: just longer than the limits that they are compared with.</summary>
    public const byte LongUnheld = 5, Long = 12;

    /// <summary>State of the firmware.</summary>
    public int Rig { get; set; }

    /// <summary>State of the host's end of the link and of the run.</summary>
    public int Host { get; set; }

    /// <summary>State of the host's interlocks.</summary>
    public int Interlock { get; set; }

    public Way ToRig { get; set; }

    public Way ToHost { get; set; }

    public Around Around { get; set; }

    /// <summary>Nothing comes through, in either direction.</summary>
    public bool LineOut { get; set; }

    /// <summary>Session that the rig has been greeted in; 0 for none.</summary>
    public byte RigSession { get; set; }

    /// <summary>Changes with each reset, as the number of the rig's start does.</summary>
    public bool Boot { get; set; }

    /// <summary>Steps of time since the rig last had a hold of its session.</summary>
    public byte Unheld { get; set; }

    /// <summary>Steps of time that the permit still lasts, counted here and not by the interlocks.</summary>
    public byte PermitLeft { get; set; }

    /// <summary>Steps of time since the host last had a live permit.</summary>
    public byte Unpermitted { get; set; }

    /// <summary>Steps of time since the host tripped, and one; 0 while it is clear.</summary>
    public byte Tripped { get; set; }
}
