namespace SweepRig.Rigs.Link.Messages;

/// <summary>Why a rig refuses a request. The numbers travel on the link and never change.</summary>
public enum NackReason : byte
{
    /// <summary>The latch is fired; <c>value</c> is its cause.</summary>
    Latched = 1,

    /// <summary>A program is running; <c>value</c> is its number.</summary>
    Busy = 2,

    /// <summary>A field is outside of what this rig can do.</summary>
    OutOfRange = 3,

    /// <summary>A limit is wider than the one in force.</summary>
    LooserThanLimit = 4,

    /// <summary>The parts of a program do not fit together.</summary>
    BadProgram = 5,

    /// <summary>Release while a cause remains; <c>value</c> is that cause.</summary>
    CausePresent = 6,

    /// <summary>No Hello since the rig's reset.</summary>
    NoSession = 7,

    /// <summary>The rig has no such switch or cannot set it.</summary>
    NotSupported = 8,

    /// <summary>The seal of the limits does not match them.</summary>
    BadSeal = 9,

    /// <summary>Release names another firing of the latch than the latest; <c>limit</c> is the latest.</summary>
    OtherLatch = 10,
}

public readonly record struct Ack(byte RequestType, byte Request, ushort Session) : ILinkMessage<Ack>
{
    public static MessageDeclaration Declaration => LinkMessages.Ack;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(RequestType);
        writer.Put(Request);
        writer.Put(Session);
    }

    public static Ack Read(ref FieldReader reader) => new((byte)reader.Next(), (byte)reader.Next(), (ushort)reader.Next());
}

public readonly record struct Nack(byte RequestType, byte Request, ushort Session, NackReason Reason, byte Field, int Value, int Limit) : ILinkMessage<Nack>
{
    public const byte NoField = 255;

    public static MessageDeclaration Declaration => LinkMessages.Nack;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(RequestType);
        writer.Put(Request);
        writer.Put(Session);
        writer.Put((byte)Reason);
        writer.Put(Field);
        writer.Put(Value);
        writer.Put(Limit);
    }

    public static Nack Read(ref FieldReader reader) => new(
        (byte)reader.Next(), (byte)reader.Next(), (ushort)reader.Next(), (NackReason)reader.Next(), (byte)reader.Next(), (int)reader.Next(), (int)reader.Next());
}
