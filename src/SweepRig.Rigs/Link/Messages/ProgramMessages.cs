using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs.Link.Messages;

public readonly record struct ProgramBegin(
    ushort Program,
    byte Segments,
    ushort Points,
    byte Mask,
    ushort CeilingCode,
    uint DwellMicroseconds,
    ushort Conversions,
    byte MainsPeriods,
    byte MainsHertz,
    ushort SettleToleranceCodes,
    uint SettleTimeoutMicroseconds,
    ConnectionKind Connection,
    uint PlateResistorOhms,
    uint ScreenResistorOhms,
    uint GridStopperOhms) : ILinkMessage<ProgramBegin>
{
    public static MessageDeclaration Declaration => LinkMessages.ProgramBegin;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Program);
        writer.Put(Segments);
        writer.Put(Points);
        writer.Put(Mask);
        writer.Put(CeilingCode);
        writer.Put(DwellMicroseconds);
        writer.Put(Conversions);
        writer.Put(MainsPeriods);
        writer.Put(MainsHertz);
        writer.Put(SettleToleranceCodes);
        writer.Put(SettleTimeoutMicroseconds);
        writer.Put((int)Connection);
        writer.Put(PlateResistorOhms);
        writer.Put(ScreenResistorOhms);
        writer.Put(GridStopperOhms);
    }

    public static ProgramBegin Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), (byte)reader.Next(), (ushort)reader.Next(), (byte)reader.Next(), (ushort)reader.Next(),
        (uint)reader.Next(), (ushort)reader.Next(), (byte)reader.Next(), (byte)reader.Next(),
        (ushort)reader.Next(), (uint)reader.Next(), (ConnectionKind)reader.Next(),
        (uint)reader.Next(), (uint)reader.Next(), (uint)reader.Next());
}

public readonly record struct ProgramSegment(ushort Program, byte Index, ushort FromCode, ushort ToCode, ushort Points, ushort FirstPoint)
    : ILinkMessage<ProgramSegment>
{
    public static MessageDeclaration Declaration => LinkMessages.ProgramSegment;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Program);
        writer.Put(Index);
        writer.Put(FromCode);
        writer.Put(ToCode);
        writer.Put(Points);
        writer.Put(FirstPoint);
    }

    public static ProgramSegment Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), (byte)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next());
}
