using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;

namespace SweepRig.Sweeps.Queue;

/// <summary>What is asked of one rig for one night, as its document states it. Valid by construction only through <see cref="NightDocument"/>.</summary>
/// <param name="Name">For people.</param>
/// <param name="TimeZone">IANA name, for example <c>Europe/Oslo</c>.</param>
/// <param name="Window">When work may be done; past midnight where it ends at an earlier time of day than it begins.</param>
/// <param name="Sockets">What is in which socket; nobody plugs at night.</param>
/// <param name="Jobs">In the order in which they are done where nothing else decides; 1 or more, each name once.</param>
/// <param name="Permit">Null where no drive may be above 0 V.</param>
public sealed record NightOrder(string Name, string TimeZone, DayWindow Window, IReadOnlyList<SeatOrder> Sockets, IReadOnlyList<NightJob> Jobs, NightLimits Limits, NightPermit? Permit)
{
    /// <summary>The service takes the night up again by itself after it was ended from outside. Default true.</summary>
    public bool GoesOnAfterRestart { get; init; } = true;

    /// <summary>More may be asked for than the night has time for. Default false: a queue that is too long is refused.</summary>
    public bool MayBeCutShort { get; init; }
}

/// <param name="Socket">From 0.</param>
/// <param name="Label">Number on the tube, with its section if one is meant.</param>
/// <param name="TypeName">Null for what the stock says.</param>
/// <param name="Lot">Null for what the stock says.</param>
public sealed record SeatOrder(int Socket, string Label, string? TypeName, string? Lot);

/// <summary>Bounds of a night.</summary>
/// <param name="HeaterTime">Longest that the heaters are on, all in all; null for no bound.</param>
/// <param name="PositiveCoulombs">Most charge that flows into grids, all in all; null for none.</param>
/// <param name="Acknowledgements">Trips that the night may release by itself, 0 or more.</param>
/// <param name="Attempts">How often a step is begun before it is given up, 1 or more.</param>
public sealed record NightLimits(TimeSpan? HeaterTime, double? PositiveCoulombs, int Acknowledgements, int Attempts)
{
    public const int DefaultAcknowledgements = 3, DefaultAttempts = 5;

    public static NightLimits Default { get; } = new(null, null, DefaultAcknowledgements, DefaultAttempts);
}

/// <summary>Permission for positive drive, stated beforehand. A permit is granted for each step that needs one and ended after it.</summary>
/// <param name="Ceiling">Highest drive; above 0 V.</param>
/// <param name="Reason">For the log.</param>
public sealed record NightPermit(Volts Ceiling, string Reason);

/// <summary>A part of a night: the same work on one tube after another.</summary>
/// <param name="Name">Kebab-case, unique in the night.</param>
/// <param name="Target">Over which of the tubes.</param>
/// <param name="Priority">1 to 9, the higher the sooner; null for 5.</param>
/// <param name="Window">Part of the night in which it is done; null for all of it.</param>
/// <param name="After">Jobs that must be done with first, for the same tube where they work on it.</param>
/// <param name="IfPassed">It is left out for a tube that did not pass those.</param>
/// <param name="Every">Null for once.</param>
/// <param name="Limits">A tube beyond one of these after the step is skipped for the rest of the night.</param>
public sealed record NightJob(
    string Name, NightWork Work, JobTarget Target, int? Priority, DayWindow? Window, IReadOnlyList<string> After, bool IfPassed, Repetition? Every, IReadOnlyList<LevelLimit> Limits)
{
    public const int UsualPriority = 5;

    public int Rank => Priority ?? UsualPriority;
}

/// <summary>Tubes that a job works on; all that is empty leaves all sockets of the night.</summary>
public sealed record JobTarget(IReadOnlyList<int> Sockets, IReadOnlyList<string> Tubes, string? Lot);

/// <param name="Interval">From the begin of one to the begin of the next, at least.</param>
/// <param name="Times">All in all, 1 or more.</param>
public sealed record Repetition(TimeSpan Interval, int Times);

/// <param name="Quantity">Word of a quantity of the stock, as <c>pentode.vol</c>.</param>
/// <param name="Lowest">In the unit of the quantity; null for none.</param>
/// <param name="Highest">The same.</param>
public sealed record LevelLimit(string Quantity, double? Lowest, double? Highest);

/// <summary>What a job does to a tube.</summary>
/// <param name="Plan">The sweep it makes, or for a screening the plan whose connection is used.</param>
public abstract record NightWork(SweepPlan Plan)
{
    /// <summary>The word of the document.</summary>
    public abstract string Word { get; }

    public sealed record Screen(SweepPlan Plan) : NightWork(Plan)
    {
        public override string Word => "screen";
    }

    public sealed record Sweep(SweepPlan Plan) : NightWork(Plan)
    {
        public override string Word => "sweep";
    }

    /// <summary>A sweep whose plan steps a second source.</summary>
    public sealed record Family(SweepPlan Plan) : NightWork(Plan)
    {
        public override string Word => "family";
    }

    /// <summary>The tube stays hot, and is swept before, after and every so often.</summary>
    public sealed record Soak(SweepPlan Plan, TimeSpan For, TimeSpan Every) : NightWork(Plan)
    {
        public override string Word => "soak";
    }

    /// <summary>The same sweep again and again, to see how well it repeats.</summary>
    public sealed record Repeat(SweepPlan Plan, TimeSpan Every, int Times) : NightWork(Plan)
    {
        public override string Word => "repeat";
    }

    /// <summary>How long the tube takes from cold.</summary>
    /// <param name="Times">From cold so many times.</param>
    /// <param name="Watch">Watched each time.</param>
    public sealed record WarmUp(SweepPlan Plan, int Times, TimeSpan Watch) : NightWork(Plan)
    {
        public override string Word => "warm-up";
    }

    /// <summary>How far the grid may go positive.</summary>
    public sealed record Explore(SweepPlan Plan, Volts Ceiling, Volts Step) : NightWork(Plan)
    {
        public override string Word => "explore";
    }

    /// <summary>Heater on and off, with a sweep every so many cycles.</summary>
    public sealed record Life(SweepPlan Plan, TimeSpan On, TimeSpan Off, int Cycles, int SweepEvery) : NightWork(Plan)
    {
        public override string Word => "life";
    }

    public static IReadOnlyList<string> Words { get; } = ["screen", "sweep", "family", "soak", "repeat", "warm-up", "explore", "life"];
}
