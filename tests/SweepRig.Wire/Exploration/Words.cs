using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Wire.Exploration;

internal enum HostSays : byte
{
    None,
    Hello,
    AskStatus,
    Safe,
    Stop,
    RailOn,
    RailOff,
    ProgramBegin,
    ProgramSegment,
    ProgramStart,
    Renew,

    /// <summary>Of the acknowledged trip.</summary>
    Release,

    /// <summary>Of the latch that a rig starts with, as part of starting a sweep.</summary>
    ReleaseFirst,
}

/// <summary>A message of the host on its way.</summary>
/// <param name="Sequence">Counted from the newest request that the rig has taken.</param>
/// <param name="Argument">Session, program or firing that it names.</param>
internal readonly record struct HostWord(HostSays Says, sbyte Sequence, byte Argument)
{
    private const uint StopperOhms = 2000, PlateOhms = 500;

    /// <summary>The same word when numbers are counted anew. Hello and Renew have sequences of their own.</summary>
    public HostWord Counted(Recount now) => Says switch
    {
        HostSays.Hello or HostSays.Renew => this with { Argument = now.Session(Argument) },
        HostSays.Release or HostSays.ReleaseFirst => this with { Sequence = now.Sequence(Sequence), Argument = now.Firing(Argument) },
        _ => this with { Sequence = now.Sequence(Sequence) },
    };

    /// <summary>The frame on the wire, by the real writer.</summary>
    public int Write(Span<byte> wire)
    {
        var sequence = (byte)Sequence;
        return Says switch
        {
            HostSays.Hello => FrameWriter.Write(new Hello(Argument), sequence, wire),
            HostSays.AskStatus => FrameWriter.Write(new AskStatus(), sequence, wire),
            HostSays.Safe => FrameWriter.Write(new Safe(), sequence, wire),
            HostSays.Stop => FrameWriter.Write(new Stop(), sequence, wire),
            HostSays.RailOn => FrameWriter.Write(new Supplies(SupplySwitches.Heater | SupplySwitches.PlateRail, 0, 6_300_000, 28_000_000), sequence, wire),
            HostSays.RailOff => FrameWriter.Write(new Supplies(SupplySwitches.Heater, 0, 6_300_000, 0), sequence, wire),
            HostSays.ProgramBegin => FrameWriter.Write(
                new ProgramBegin(Argument, 1, 1, 31, Code(Sweep.CeilingOf(Argument)), Sweep.DwellMicrosecondsOf(Argument), 1, 0, 0, 0, 0, 0, PlateOhms, 100, StopperOhms), sequence, wire),
            HostSays.ProgramSegment => FrameWriter.Write(
                new ProgramSegment(Argument, 0, Code(Sweep.DriveOf(Argument)), Code(Sweep.DriveOf(Argument)), 1, 0), sequence, wire),
            HostSays.ProgramStart => FrameWriter.Write(new ProgramStart(Argument), sequence, wire),
            HostSays.Renew => FrameWriter.Write(new Renew(Argument), sequence, wire),
            _ => FrameWriter.Write(new Release(Argument), sequence, wire),
        };
    }

    /// <summary>Number on the link of the request that this is.</summary>
    public static byte NumberOf(HostSays says) => says switch
    {
        HostSays.Hello => LinkMessages.Hello.Number,
        HostSays.AskStatus => LinkMessages.AskStatus.Number,
        HostSays.Safe => LinkMessages.Safe.Number,
        HostSays.Stop => LinkMessages.Stop.Number,
        HostSays.RailOn or HostSays.RailOff => LinkMessages.Supplies.Number,
        HostSays.ProgramBegin => LinkMessages.ProgramBegin.Number,
        HostSays.ProgramSegment => LinkMessages.ProgramSegment.Number,
        HostSays.ProgramStart => LinkMessages.ProgramStart.Number,
        HostSays.Renew => LinkMessages.Renew.Number,
        _ => LinkMessages.Release.Number,
    };

    public override string ToString() => Says is HostSays.AskStatus or HostSays.Safe or HostSays.Stop or HostSays.RailOn or HostSays.RailOff ? $"{Says}" : $"{Says} {Argument}";

    private static ushort Code(double volts) => (ushort)Math.Round((volts + 16) * 4095 / 48);
}

internal enum SweepKind
{
    Negative,
    Positive,

    /// <summary>Its segment drives higher than its own ceiling: a fault of the host.</summary>
    Wrong,
}

/// <summary>The sweeps of the exploration, told apart by the number of their program: one point each, held.</summary>
internal static class Sweep
{
    private const int Kinds = 3;

    public static SweepKind KindOf(int program) => (SweepKind)((program - 1) % Kinds);

    /// <summary>Two numbers of each kind by turns, for a rig does not start the number again that it ran last.</summary>
    public static byte NumberOf(SweepKind kind, int last) => (byte)(1 + (int)kind + (last == 1 + (int)kind ? Kinds : 0));

    /// <summary>What of the last number matters to the choice of the next.</summary>
    public static byte Remembered(byte last) => last <= Kinds ? last : (byte)0;

    public static double DriveOf(int program) => KindOf(program) == SweepKind.Negative ? -5 : 8;

    public static double CeilingOf(int program) => KindOf(program) == SweepKind.Positive ? 8 : 0;

    /// <summary>The positive one outlasts every limit of time that must end it.</summary>
    public static uint DwellMicrosecondsOf(int program) => KindOf(program) == SweepKind.Positive ? 2_000_000u : 200_000u;
}

internal enum RigSays : byte
{
    None,
    Ack,
    Nack,
    Status,
    Samples,
    ProgramEnd,
    Tripped,
    Restarted,
}

/// <summary>A message of the rig on its way, with what the host goes by.</summary>
/// <param name="Request">Sequence answered, counted from the newest that the rig has taken.</param>
/// <param name="Block">Of Samples: place of what the interlocks make of the block.</param>
internal readonly record struct RigWord(
    RigSays Says, byte Session, byte RequestType, sbyte Request, byte Latch, TripCause Cause, StatusFlags Flags, byte Program, bool Completed, short Block)
{
    /// <summary>The same word when numbers are counted anew. A Hello has a sequence of its own.</summary>
    public RigWord Counted(Recount now) => Says switch
    {
        RigSays.Ack or RigSays.Nack => this with { Session = now.Session(Session), Request = RequestType == LinkMessages.Hello.Number ? (sbyte)0 : now.Sequence(Request) },
        RigSays.Status or RigSays.Tripped => this with { Session = now.Session(Session), Latch = now.Firing(Latch) },
        _ => this,
    };

    public override string ToString() => Says switch
    {
        RigSays.Ack or RigSays.Nack => $"{Says} of message {RequestType}",
        RigSays.Status => $"Status of session {Session}: {Flags}{(Cause == 0 ? "" : $", {Cause}")}, firing {Latch}, program {Program}",
        RigSays.Tripped => $"Tripped: {Cause}, firing {Latch}",
        RigSays.Samples or RigSays.ProgramEnd => $"{Says} of program {Program}",
        _ => $"{Says}",
    };
}

/// <summary>Gives each value a number from 1 on.</summary>
internal sealed class Numbers<T>
    where T : notnull
{
    private readonly Dictionary<T, int> _numbers = [];
    private readonly List<T> _values = [default!];

    public int Count => _values.Count - 1;

    public T this[int number] => _values[number];

    public int Of(T value)
    {
        if (_numbers.TryGetValue(value, out var number)) return number;
        number = _values.Count;
        _numbers.Add(value, number);
        _values.Add(value);
        return number;
    }
}
