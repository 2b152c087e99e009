using static SweepRig.Rigs.Link.Messages.FieldType;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>
/// Every message of link protocol version 1, declared once. Encoding, decoding, range checks and the tables of
/// <c>firmware-notes/link-protocol.md</c> follow from these declarations. Numbers are never given a new meaning.
/// </summary>
public static class LinkMessages
{
    private const long Elv = 60_000_000;
    private const long OneAmp = 1_000_000_000;
    private const long TenSeconds = 10_000_000;

    private static readonly FieldDeclaration Session = new("session", U16, "", 1, 65535, "number that the host chose in Hello");
    private static readonly FieldDeclaration Program = new("program", U16, "", 1, 65535, "number that the host gave the program");
    private static readonly FieldDeclaration RequestType = new("requestType", U8, "", 1, 15, "number of the message that is answered");
    private static readonly FieldDeclaration Request = new("request", U8, "", 0, 255, "sequence byte of the message that is answered");
    private static readonly FieldDeclaration Time = new("time", U32, "us", 0, uint.MaxValue, "low 32 bits of the rig clock");

    private static readonly FieldDeclaration[] LimitFields =
    [
        new("driveFloor", I32, "uV", -Elv, Elv, "lowest drive, and the safe drive"),
        new("driveCeiling", I32, "uV", -Elv, Elv, "highest drive"),
        new("gridCurrent", I32, "nA", 0, OneAmp, "largest current into grid 1"),
        new("cathodeCurrent", I32, "nA", 0, OneAmp, "largest sum of grid, screen and plate current"),
        new("supplyMin", I32, "uV", 0, Elv, "lowest plate rail at which a program may run"),
        new("supplyMax", I32, "uV", 0, Elv, "highest plate rail"),
        new("positiveTime", U16, "ms", 0, 60_000, "time above 0 V drive in any 60 s"),
    ];

    private static readonly FieldDeclaration[] TripFields =
    [
        new("measured", I32, "see cause", int.MinValue, int.MaxValue, "figure that fired the latch, 0 where the cause has none"),
        new("limit", I32, "see cause", int.MinValue, int.MaxValue, "limit that it broke, 0 where the cause has none"),
    ];

    public static MessageDeclaration Hello { get; } = Host(1, nameof(Hello), true,
        "Opens a session: ends a running program and switches the plate rail off; Identity, IdentityText, IdentityDrive, IdentityChannel for each channel, IdentityLimits and Ack follow.",
        Session);

    public static MessageDeclaration Limits { get; } = Host(2, nameof(Limits), true,
        "Limits until the next reset; never wider than those in force.",
        [.. LimitFields, new("seal", U32, "", 0, uint.MaxValue, "check of the fields before it")]);

    public static MessageDeclaration Supplies { get; } = Host(3, nameof(Supplies), true, "Switches supplies and selects a socket.",
        new("switches", U8, "", 0, 3, "bit 0 heater on, bit 1 plate rail on"),
        new("socket", U8, "", 0, 63, "socket that drive and channels go to"),
        new("heater", U32, "uV", 0, Elv, "heater voltage, where it can be set"),
        new("plateRail", U32, "uV", 0, Elv, "plate rail, where it can be set"));

    public static MessageDeclaration ProgramBegin { get; } = Host(4, nameof(ProgramBegin), true, "First part of a program; drops any program not started.",
        Program,
        new("segments", U8, "", 1, 64, "segments that follow"),
        new("points", U16, "", 1, 65535, "points of all segments together"),
        new("mask", U8, "", 1, 31, "bit n set: channel n is converted"),
        new("ceiling", U16, "code", 0, 65535, "highest DAC code of the program"),
        new("dwell", U32, "us", 0, TenSeconds, "wait after each drive step"),
        new("conversions", U16, "", 1, 256, "conversions of each channel to average"),
        new("mainsPeriods", U8, "", 0, 50, "whole mains periods to average over; 0 for a plain count"),
        new("mainsHertz", U8, "Hz", 0, 60, "mains frequency; 0 for a plain count", [0, 50, 60]),
        new("settleTolerance", U16, "code", 0, 65535, "largest difference of two plate conversions that counts as settled; 0 for no settling rule"),
        new("settleTimeout", U32, "us", 0, TenSeconds, "longest wait for settling"),
        new("connection", U8, "", 0, 1, "0 pentode, 1 triode"),
        new("plateResistor", U32, "ohm", 1, RigWiring.MaxOhms, "from plate rail to plate"),
        new("screenResistor", U32, "ohm", 1, RigWiring.MaxOhms, "from plate rail to screen"),
        new("gridStopper", U32, "ohm", 1, RigWiring.MaxOhms, "from drive to grid pin"));

    public static MessageDeclaration ProgramSegment { get; } = Host(5, nameof(ProgramSegment), true, "One segment of the program begun.",
        Program,
        new("index", U8, "", 0, 63, "place among the segments"),
        new("fromCode", U16, "code", 0, 65535, "DAC code of the first point"),
        new("toCode", U16, "code", 0, 65535, "DAC code of the last point"),
        new("points", U16, "", 1, 65535, "points, both ends included"),
        new("firstPoint", U16, "", 0, 65535, "number of the first point"));

    public static MessageDeclaration ProgramStart { get; } = Host(6, nameof(ProgramStart), true, "Starts the program, once; a repeat does nothing.", Program);

    public static MessageDeclaration Renew { get; } = Host(7, nameof(Renew), false, "Renews the lease. Not answered.", Session);

    public static MessageDeclaration Stop { get; } = Host(8, nameof(Stop), true, "Ends a running program, drive to safe, supplies as they are, latch as it is.");

    public static MessageDeclaration Safe { get; } = Host(9, nameof(Safe), true, "Makes the rig safe and fires the latch with cause 14 unless it has fired already.");

    public static MessageDeclaration Release { get; } = Host(10, nameof(Release), true, "Releases the firing of the latch that it names, and no other.",
        new FieldDeclaration("latch", U16, "", 0, 65535, "running number of the firing, from Status or Tripped"));

    public static MessageDeclaration AskStatus { get; } = Host(11, nameof(AskStatus), true, "Asks for a Status at once.");

    public static MessageDeclaration Identity { get; } = Rig(16, nameof(Identity), "Who the rig is.",
        Session,
        new("time", U64, "us", 0, long.MaxValue, "rig clock since reset"),
        new("boot", U16, "", 0, 65535, "differs from one start of the rig to the next"),
        new("sockets", U8, "", 1, 64, "number of sockets"),
        new("channels", U8, "", 1, 5, "number of channels, the first ones of the channel table"),
        new("supplies", U8, "", 0, 15, "bit 0 heater, 1 plate rail, 2 plate rail can be set, 3 heater can be set"),
        new("lease", U16, "ms", 100, 300, "how long a drive or supply stays without renewal"),
        new("conversion", U16, "us", 1, 10_000, "time of one conversion of one channel"),
        new("segmentCapacity", U8, "", 1, 64, "segments that a program may have"),
        new("lastReset", U8, "", 0, 3, "0 power on, 1 external, 2 brown-out, 3 watchdog"));

    public static MessageDeclaration IdentityText { get; } = Rig(17, nameof(IdentityText), "What the rig calls itself.",
        new("firmware", Text, "", 0, 32, "name and version of the firmware"),
        new("board", Text, "", 0, 24, "the board"),
        new("serialNumber", Text, "", 0, 24, "unique among the rigs of a bench, not empty"));

    public static MessageDeclaration IdentityDrive { get; } = Rig(18, nameof(IdentityDrive), "Nominal straight line of the drive.",
        new("bits", U8, "", 8, 16, "resolution of the DAC"),
        new("atZero", I32, "uV", -Elv, Elv, "drive at code 0"),
        new("atFullScale", I32, "uV", -Elv, Elv, "drive at the largest code"));

    public static MessageDeclaration IdentityChannel { get; } = Rig(19, nameof(IdentityChannel), "Nominal straight line of one channel.",
        new("channel", U8, "", 0, 4, "0 plate, 1 grid, 2 screen, 3 supply, 4 drive read-back"),
        new("bits", U8, "", 8, 16, "resolution of one conversion"),
        new("fractionBits", U8, "", 0, 8, "binary places that averaging adds to a code; bits and these together at most 16"),
        new("atZero", I32, "uV", -2 * Elv, 2 * Elv, "voltage at code 0"),
        new("atFullScale", I32, "uV", -2 * Elv, 2 * Elv, "voltage at the largest conversion code"));

    public static MessageDeclaration IdentityLimits { get; } = Rig(20, nameof(IdentityLimits), "The hard limits.", LimitFields);

    public static MessageDeclaration Ack { get; } = Rig(21, nameof(Ack), "The request is done.", RequestType, Request, SessionOrNone());

    public static MessageDeclaration Nack { get; } = Rig(22, nameof(Nack), "The request is refused and has changed nothing.",
        RequestType,
        Request,
        SessionOrNone(),
        new("reason", U8, "", 1, 10, "see the table of reasons"),
        new("field", U8, "", 0, 255, "field of the request at fault, from 0; 255 for none"),
        new("value", I32, "as field", int.MinValue, int.MaxValue, "what was asked, or the cause of the latch"),
        new("limit", I32, "as field", int.MinValue, int.MaxValue, "what is allowed"));

    public static MessageDeclaration Status { get; } = Rig(23, nameof(Status), "The whole state, every 100 ms while a session is open; nothing is known by other frames alone except samples.",
        [
            Session,
            Time,
            new("flags", U8, "", 0, 63, "bit 0 latched, 1 a cause is present, 2 heater on, 3 plate rail on, 4 program running, 5 last program ran to its end"),
            new("cause", U8, "", 0, 14, "first cause while latched, else 0; see the table of causes"),
            new("latch", U16, "", 0, 65535, "running number of the latest firing"),
            .. TripFields,
            new("latchTime", U32, "us", 0, uint.MaxValue, "low 32 bits of the rig clock at the latest firing"),
            new("driveCode", U16, "code", 0, 65535, "DAC code commanded"),
            new("supplyCode", U16, "code", 0, 65535, "plate rail as a stored code of channel 3"),
            new("heaterOnFor", U32, "ms", 0, uint.MaxValue, "time since the heater was switched on; 0 when off"),
            new("socket", U8, "", 0, 63, "socket selected"),
            new("program", U16, "", 0, 65535, "program running or last started in the session; 0 for none"),
            new("frames", U16, "", 0, 65535, "Samples frames sent for that program"),
        ]);

    /// <summary>After each record come the codes, one u16 for each bit of the mask, lowest channel first.</summary>
    public static MessageDeclaration Samples { get; } = new(24, nameof(Samples), MessageDirection.RigToHost, false,
        "Samples with consecutive point numbers and one averaged count.",
        [
            Program,
            new("frame", U16, "", 0, 65535, "running number within the program, from 0"),
            new("time", U32, "us", 0, uint.MaxValue, "low 32 bits of the rig clock at the end of the first sample"),
            new("firstPoint", U16, "", 0, 65535, "point number of the first sample; the others follow on"),
            new("averaged", U16, "", 1, 65535, "conversions averaged in each sample and channel"),
            new("mask", U8, "", 1, 31, "bit n set: channel n is present"),
            new("count", U8, "", 1, 12, "records that follow"),
        ],
        [
            new("delay", U16, "us", 0, 65535, "end of the sample after `time`"),
            new("driveCode", U16, "code", 0, 65535, "DAC code"),
            new("flags", U8, "", 0, 3, "bit 0 settled, 1 clipped"),
            new("spread", U16, "code", 0, 65535, "largest minus smallest plate conversion"),
        ]);

    public static MessageDeclaration ProgramEnd { get; } = Rig(25, nameof(ProgramEnd), "A program has ended; no Samples of it follow.",
        Program,
        new("completed", U8, "", 0, 1, "1 if it ran to its end, 0 if it was stopped or tripped"),
        new("frames", U16, "", 0, 65535, "Samples frames sent for it"),
        Time);

    public static MessageDeclaration Tripped { get; } = Rig(26, nameof(Tripped), "The latch has fired.",
        [
            SessionOrNone(),
            new("latch", U16, "", 0, 65535, "running number of the firing"),
            new("cause", U8, "", 1, 14, "see the table of causes"),
            Time,
            .. TripFields,
        ]);

    public static MessageDeclaration Restarted { get; } = Rig(27, nameof(Restarted), "Sent after a reset and then every 100 ms until a Hello.",
        new("lastReset", U8, "", 0, 3, "0 power on, 1 external, 2 brown-out, 3 watchdog"),
        new("boot", U16, "", 0, 65535, "as in Identity"));

    public static MessageDeclaration FlightRecord { get; } = new(28, nameof(FlightRecord), MessageDirection.RigToHost, false,
        "The newest messages before a trip, oldest first, sent after Tripped.",
        [
            new("first", U8, "", 0, 63, "place of the first record among up to 64"),
            new("count", U8, "", 1, 14, "records that follow"),
        ],
        [
            Time,
            new("header", U8, "", 0, 255, "first byte of the message"),
            new("sequence", U8, "", 0, 255, "its sequence byte"),
            new("detail", U16, "", 0, 65535, "first two bytes of its payload, 0 where it has none"),
        ]);

    /// <summary>All of them, by number.</summary>
    public static IReadOnlyList<MessageDeclaration> All { get; } =
    [
        Hello, Limits, Supplies, ProgramBegin, ProgramSegment, ProgramStart, Renew, Stop, Safe, Release, AskStatus,
        Identity, IdentityText, IdentityDrive, IdentityChannel, IdentityLimits, Ack, Nack, Status, Samples, ProgramEnd, Tripped, Restarted, FlightRecord,
    ];

    /// <summary>The message of a number; null if there is none.</summary>
    public static MessageDeclaration? Find(int number) => All.FirstOrDefault(m => m.Number == number);

    private static FieldDeclaration SessionOrNone() => Session with { Min = 0, Meaning = "session of the rig, 0 for none" };

    private static MessageDeclaration Host(byte number, string name, bool isRequest, string meaning, params FieldDeclaration[] fields) =>
        new(number, name, MessageDirection.HostToRig, isRequest, meaning, fields, []);

    private static MessageDeclaration Rig(byte number, string name, string meaning, params FieldDeclaration[] fields) =>
        new(number, name, MessageDirection.RigToHost, false, meaning, fields, []);
}
