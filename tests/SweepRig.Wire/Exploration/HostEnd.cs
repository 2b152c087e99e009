namespace SweepRig.Wire.Exploration;

internal enum LinkStage : byte
{
    /// <summary>The process is dead.</summary>
    Dead,

    /// <summary>Hello is sent until the rig has introduced itself.</summary>
    Greeting,

    /// <summary>The rig is asked for its state before anybody is told of it.</summary>
    Asking,

    Up,
}

internal enum RunStage : byte
{
    None,
    ReleasingFirst,
    Energising,
    Starting,
    Sweeping,
    Ending,

    /// <summary>Tripped; ends when the order to be safe has been answered.</summary>
    Closing,
}

/// <summary>A request that waits or is in flight.</summary>
internal readonly record struct Asked(HostSays Says, byte Argument)
{
    public bool IsNone => Says == HostSays.None;

    public Asked Counted(Recount now) => Says is HostSays.Release or HostSays.ReleaseFirst ? this with { Argument = now.Firing(Argument) } : this;
}

/// <summary>The host's end of the link and its run, as LinkSession, RequestLane and SweepRunner keep them, without what only informs.</summary>
internal record struct HostEnd
{
    public LinkStage Stage { get; set; }

    public byte Session { get; set; }

    /// <summary>Sequence of the latest request, counted from the newest that the rig has taken.</summary>
    public sbyte Sequence { get; set; }

    public Asked InFlight { get; set; }

    /// <summary>How often the request in flight has been sent.</summary>
    public byte Attempts { get; set; }

    public Asked Next { get; set; }

    public Asked AfterNext { get; set; }

    /// <summary>Latest firing that the rig has told of.</summary>
    public byte Latch { get; set; }

    /// <summary>Firing that was last told as a trip, with the rig's start.</summary>
    public (bool Boot, byte Latch) Told { get; set; }

    /// <summary>The rig's start when it introduced itself.</summary>
    public bool Boot { get; set; }

    /// <summary>Steps of time since the newest status was sent.</summary>
    public byte StatusAge { get; set; }

    /// <summary>By the newest status the rig's latch is fired.</summary>
    public bool SaysLatched { get; set; }

    /// <summary>Steps of time without a word of the rig.</summary>
    public byte Silent { get; set; }

    public RunStage Run { get; set; }

    public bool Stopping { get; set; }

    /// <summary>The rig did something unexpected, and its own word on it is waited for.</summary>
    public bool Complaint { get; set; }

    /// <summary>Program of the run; 0 until the rig has taken it.</summary>
    public byte Program { get; set; }

    public bool ProgramEnded { get; set; }

    /// <summary>Number of the program of the run, or of the last one.</summary>
    public byte Chosen { get; set; }

    /// <summary>The rig has confirmed that what the last run left on is off, and no other has begun in this session.</summary>
    public bool SwitchedOff { get; set; }

    public readonly bool SafePending => InFlight.Says == HostSays.Safe || Next.Says == HostSays.Safe || AfterNext.Says == HostSays.Safe;

    public readonly bool Introduced => Stage is LinkStage.Asking or LinkStage.Up;

    /// <summary>The same end when numbers are counted anew.</summary>
    public readonly HostEnd Counted(Recount now) => this with
    {
        Sequence = now.Sequence(Sequence), Session = now.Session(Session), Latch = now.Firing(Latch), Told = (Told.Boot, now.Firing(Told.Latch)),
        InFlight = InFlight.Counted(now), Next = Next.Counted(now), AfterNext = AfterNext.Counted(now),
    };

    /// <summary>
    /// The same end without what nothing asks for any more: starts of the rig are told apart from the one that it is in, a program that has ended is answered to no more, and of the
    /// last one only whether its number is taken.
    /// </summary>
    /// <param name="boot">Of the rig.</param>
    public readonly HostEnd Plain(bool boot) => this with
    {
        Boot = Boot ^ boot, Told = (Told.Boot ^ boot, Told.Latch),
        Program = ProgramEnded ? (byte)0 : Program, ProgramEnded = false,
        Chosen = Run == RunStage.None ? Sweep.Remembered(Chosen) : Chosen,
    };
}
