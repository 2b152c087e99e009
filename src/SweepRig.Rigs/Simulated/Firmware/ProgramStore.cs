using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>A refusal on its way to the host.</summary>
internal readonly record struct Refused(NackReason Reason, int Field = Nack.NoField, long Value = 0, long Limit = 0);

/// <summary>Puts the parts of a program together and checks them.</summary>
internal sealed class ProgramStore
{
    private readonly RigSegment?[] _segments = new RigSegment?[64];
    private ProgramBegin _begin;

    /// <summary>Number of the program begun; 0 for none.</summary>
    public int Number => _begin.Program;

    public byte Mask => _begin.Mask;

    public Refused? Begin(in ProgramBegin begin, DriveScale drive, int ceilingCode)
    {
        if (begin.CeilingCode > Math.Min(ceilingCode, drive.MaxCode)) return new(NackReason.OutOfRange, 4, begin.CeilingCode, ceilingCode);
        if (begin.MainsPeriods > 0 != begin.MainsHertz > 0) return new(NackReason.BadProgram, 8, begin.MainsHertz, begin.MainsPeriods > 0 ? 50 : 0);
        _begin = begin;
        Array.Clear(_segments);
        return null;
    }

    public Refused? Add(in ProgramSegment segment, int floorCode, int maxCode)
    {
        if (Number == 0 || segment.Program != Number) return new(NackReason.BadProgram, 0, segment.Program, Number);
        if (segment.Index >= _begin.Segments) return new(NackReason.BadProgram, 1, segment.Index, _begin.Segments - 1);
        if (Outside(segment.FromCode) is { } from) return new(NackReason.OutOfRange, 2, segment.FromCode, from);
        if (Outside(segment.ToCode) is { } to) return new(NackReason.OutOfRange, 3, segment.ToCode, to);
        if (segment.FirstPoint + segment.Points > 65536) return new(NackReason.BadProgram, 5, segment.FirstPoint, 65536 - segment.Points);
        _segments[segment.Index] = new(segment.FromCode, segment.ToCode, segment.Points, segment.FirstPoint);
        return null;

        int? Outside(int code) => code < floorCode ? floorCode : code > maxCode ? maxCode : null;
    }

    /// <summary>The whole program, if all its parts have come.</summary>
    /// <param name="number">Number that is to be started.</param>
    /// <param name="program">The program.</param>
    public Refused? Complete(int number, out RigProgram? program)
    {
        program = null;
        if (Number == 0 || number != Number) return new(NackReason.BadProgram, 0, number, Number);
        var segments = new List<RigSegment>(_begin.Segments);
        for (var i = 0; i < _begin.Segments; i++)
        {
            if (_segments[i] is not { } segment) return new(NackReason.BadProgram, Nack.NoField, i, _begin.Segments);
            segments.Add(segment);
        }
        var points = segments.Sum(s => s.Points);
        if (points != _begin.Points) return new(NackReason.BadProgram, Nack.NoField, points, _begin.Points);
        program = new(
            Number, segments, _begin.Mask, _begin.CeilingCode,
            new((int)_begin.DwellMicroseconds, _begin.Conversions, _begin.MainsPeriods, _begin.MainsHertz, _begin.SettleToleranceCodes, (int)_begin.SettleTimeoutMicroseconds),
            new(_begin.Connection, (int)_begin.PlateResistorOhms, (int)_begin.ScreenResistorOhms, (int)_begin.GridStopperOhms));
        return null;
    }
}
