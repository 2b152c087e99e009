namespace SweepRig.Rigs.Link.Messages;

// Units, ranges and meanings are those of LinkMessages; members are in the order of the declaration.

public readonly record struct Hello(ushort Session) : ILinkMessage<Hello>
{
    public static MessageDeclaration Declaration => LinkMessages.Hello;

    public void Write(ref FieldWriter writer) => writer.Put(Session);

    public static Hello Read(ref FieldReader reader) => new((ushort)reader.Next());
}

/// <param name="Values">The limits.</param>
/// <param name="Seal"><see cref="LimitSeal.Of"/> the limits; a rig refuses another.</param>
public readonly record struct Limits(LimitValues Values, uint Seal) : ILinkMessage<Limits>
{
    public static MessageDeclaration Declaration => LinkMessages.Limits;

    public void Write(ref FieldWriter writer)
    {
        Values.Write(ref writer);
        writer.Put(Seal);
    }

    public static Limits Read(ref FieldReader reader) => new(LimitValues.Read(ref reader), (uint)reader.Next());
}

[Flags]
public enum SupplySwitches : byte
{
    None = 0,
    Heater = 1,
    PlateRail = 2,
}

public readonly record struct Supplies(SupplySwitches Switches, byte Socket, uint HeaterMicrovolts, uint PlateRailMicrovolts) : ILinkMessage<Supplies>
{
    public static MessageDeclaration Declaration => LinkMessages.Supplies;

    public void Write(ref FieldWriter writer)
    {
        writer.Put((byte)Switches);
        writer.Put(Socket);
        writer.Put(HeaterMicrovolts);
        writer.Put(PlateRailMicrovolts);
    }

    public static Supplies Read(ref FieldReader reader) =>
        new((SupplySwitches)reader.Next(), (byte)reader.Next(), (uint)reader.Next(), (uint)reader.Next());
}

public readonly record struct ProgramStart(ushort Program) : ILinkMessage<ProgramStart>
{
    public static MessageDeclaration Declaration => LinkMessages.ProgramStart;

    public void Write(ref FieldWriter writer) => writer.Put(Program);

    public static ProgramStart Read(ref FieldReader reader) => new((ushort)reader.Next());
}

public readonly record struct Renew(ushort Session) : ILinkMessage<Renew>
{
    public static MessageDeclaration Declaration => LinkMessages.Renew;

    public void Write(ref FieldWriter writer) => writer.Put(Session);

    public static Renew Read(ref FieldReader reader) => new((ushort)reader.Next());
}

public readonly record struct Stop : ILinkMessage<Stop>
{
    public static MessageDeclaration Declaration => LinkMessages.Stop;

    public void Write(ref FieldWriter writer)
    {
    }

    public static Stop Read(ref FieldReader reader) => default;
}

public readonly record struct Safe : ILinkMessage<Safe>
{
    public static MessageDeclaration Declaration => LinkMessages.Safe;

    public void Write(ref FieldWriter writer)
    {
    }

    public static Safe Read(ref FieldReader reader) => default;
}

public readonly record struct Release(ushort Latch) : ILinkMessage<Release>
{
    public static MessageDeclaration Declaration => LinkMessages.Release;

    public void Write(ref FieldWriter writer) => writer.Put(Latch);

    public static Release Read(ref FieldReader reader) => new((ushort)reader.Next());
}

public readonly record struct AskStatus : ILinkMessage<AskStatus>
{
    public static MessageDeclaration Declaration => LinkMessages.AskStatus;

    public void Write(ref FieldWriter writer)
    {
    }

    public static AskStatus Read(ref FieldReader reader) => default;
}
