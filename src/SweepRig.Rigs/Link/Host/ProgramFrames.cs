using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>Lays a program out as requests, after checking each figure against the declarations: a wrapped number must never reach a rig.</summary>
internal static class ProgramFrames
{
    /// <param name="number">Number for the program on the link.</param>
    /// <param name="program">The program.</param>
    /// <param name="segmentCapacity">Segments that the rig can hold.</param>
    /// <param name="drive">For words.</param>
    /// <param name="refusal">Why not, when null is returned.</param>
    public static Exchange? TryLay(ushort number, RigProgram program, int segmentCapacity, DriveScale drive, out RigReply? refusal)
    {
        refusal = Check(program, segmentCapacity, drive);
        if (refusal is not null) return null;
        var (timing, wiring) = (program.Timing, program.Wiring);
        var exchange = new Exchange("the program") { Program = new(number, program) };
        exchange.Add(new ProgramBegin(
            number, (byte)program.Segments.Count, (ushort)program.Points, program.ChannelMask, program.CeilingCode,
            (uint)timing.DwellMicroseconds, (ushort)Conversions(timing), (byte)timing.MainsPeriods, (byte)MainsHertz(timing),
            (ushort)timing.SettleToleranceCodes, (uint)timing.SettleTimeoutMicroseconds, wiring.Kind,
            (uint)wiring.PlateResistorOhms, (uint)wiring.ScreenResistorOhms, (uint)wiring.GridStopperOhms));
        for (var i = 0; i < program.Segments.Count; i++)
        {
            var segment = program.Segments[i];
            exchange.Add(new ProgramSegment(number, (byte)i, segment.FromCode, segment.ToCode, (ushort)segment.Points, (ushort)segment.FirstPoint));
        }
        exchange.Add(new ProgramStart(number));
        return exchange;
    }

    // Each is ignored in the other kind of averaging, so it need not be valid there.
    private static int Conversions(RigTiming timing) => timing.MainsPeriods > 0 ? 1 : timing.Conversions;

    private static int MainsHertz(RigTiming timing) => timing.MainsPeriods > 0 ? timing.MainsHertz : 0;

    private static RigReply? Check(RigProgram program, int segmentCapacity, DriveScale drive)
    {
        if (program.Segments.Count > segmentCapacity)
        {
            return new(false, "bad-program",
                $"The program has {program.Segments.Count} segments; the rig holds {segmentCapacity}. Send it in parts.");
        }
        var (timing, wiring) = (program.Timing, program.Wiring);
        if (timing.MainsPeriods > 0 && timing.MainsHertz == 0)
        {
            return new(false, "bad-program",
                $"The program averages over {timing.MainsPeriods} mains periods of 0 Hz; allowed is 50 or 60 Hz. State the frequency of the local mains.");
        }
        ReadOnlySpan<(string Field, long Value)> figures =
        [
            ("segments", program.Segments.Count), ("points", program.Segments.Sum(s => (long)s.Points)), ("mask", program.ChannelMask), ("dwell", timing.DwellMicroseconds),
            ("conversions", Conversions(timing)), ("mainsPeriods", timing.MainsPeriods), ("mainsHertz", MainsHertz(timing)),
            ("settleTolerance", timing.SettleToleranceCodes), ("settleTimeout", timing.SettleTimeoutMicroseconds), ("connection", (long)wiring.Kind),
            ("plateResistor", wiring.PlateResistorOhms), ("screenResistor", wiring.ScreenResistorOhms), ("gridStopper", wiring.GridStopperOhms),
        ];
        foreach (var (field, value) in figures)
        {
            if (Check(LinkMessages.ProgramBegin, field, value, drive) is { } refusal) return refusal;
        }
        foreach (var segment in program.Segments)
        {
            if (Check(LinkMessages.ProgramSegment, "points", segment.Points, drive) is { } refusal) return refusal;
            if (Check(LinkMessages.ProgramSegment, "firstPoint", segment.FirstPoint, drive) is { } first) return first;
        }
        return null;
    }

    private static RigReply? Check(MessageDeclaration message, string name, long value, DriveScale drive)
    {
        var field = Array.Find(message.Fields, f => f.Name == name) ?? throw new InvalidOperationException($"SweepRig bug: {message.Name} has no field {name}.");
        return field.Allows(value) ? null : Refusals.Field(message, field, value, drive);
    }
}
