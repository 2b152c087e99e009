using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Link.Messages;

[Flags]
public enum StatusFlags : byte
{
    None = 0,
    Latched = 1,
    CausePresent = 2,
    HeaterOn = 4,
    PlateRailOn = 8,
    Running = 16,
    Completed = 32,
}

/// <param name="Cause">First cause while latched, else 0.</param>
public readonly record struct Status(
    ushort Session,
    uint TimeMicroseconds,
    StatusFlags Flags,
    TripCause Cause,
    ushort Latch,
    int Measured,
    int Limit,
    uint LatchTimeMicroseconds,
    ushort DriveCode,
    ushort SupplyCode,
    uint HeaterOnForMilliseconds,
    byte Socket,
    ushort Program,
    ushort Frames) : ILinkMessage<Status>
{
    public static MessageDeclaration Declaration => LinkMessages.Status;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Session);
        writer.Put(TimeMicroseconds);
        writer.Put((byte)Flags);
        writer.Put((int)Cause);
        writer.Put(Latch);
        writer.Put(Measured);
        writer.Put(Limit);
        writer.Put(LatchTimeMicroseconds);
        writer.Put(DriveCode);
        writer.Put(SupplyCode);
        writer.Put(HeaterOnForMilliseconds);
        writer.Put(Socket);
        writer.Put(Program);
        writer.Put(Frames);
    }

    public static Status Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), (uint)reader.Next(), (StatusFlags)reader.Next(), (TripCause)reader.Next(), (ushort)reader.Next(),
        (int)reader.Next(), (int)reader.Next(), (uint)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next(),
        (uint)reader.Next(), (byte)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next());
}

public readonly record struct ProgramEnd(ushort Program, bool Completed, ushort Frames, uint TimeMicroseconds) : ILinkMessage<ProgramEnd>
{
    public static MessageDeclaration Declaration => LinkMessages.ProgramEnd;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Program);
        writer.Put(Completed ? 1 : 0);
        writer.Put(Frames);
        writer.Put(TimeMicroseconds);
    }

    public static ProgramEnd Read(ref FieldReader reader) => new((ushort)reader.Next(), reader.Next() == 1, (ushort)reader.Next(), (uint)reader.Next());
}

public readonly record struct Tripped(ushort Session, ushort Latch, TripCause Cause, uint TimeMicroseconds, int Measured, int Limit) : ILinkMessage<Tripped>
{
    public static MessageDeclaration Declaration => LinkMessages.Tripped;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Session);
        writer.Put(Latch);
        writer.Put((int)Cause);
        writer.Put(TimeMicroseconds);
        writer.Put(Measured);
        writer.Put(Limit);
    }

    public static Tripped Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), (ushort)reader.Next(), (TripCause)reader.Next(), (uint)reader.Next(), (int)reader.Next(), (int)reader.Next());
}

public readonly record struct Restarted(ResetReason LastReset, ushort Boot) : ILinkMessage<Restarted>
{
    public static MessageDeclaration Declaration => LinkMessages.Restarted;

    public void Write(ref FieldWriter writer)
    {
        writer.Put((int)LastReset);
        writer.Put(Boot);
    }

    public static Restarted Read(ref FieldReader reader) => new((ResetReason)reader.Next(), (ushort)reader.Next());
}
