using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Link.Messages;

public readonly record struct Identity(
    ushort Session,
    long TimeMicroseconds,
    ushort Boot,
    byte Sockets,
    byte Channels,
    Domain.Rigs.Supplies Supplies,
    ushort LeaseMilliseconds,
    ushort ConversionMicroseconds,
    byte SegmentCapacity,
    ResetReason LastReset) : ILinkMessage<Identity>
{
    public static MessageDeclaration Declaration => LinkMessages.Identity;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Session);
        writer.Put(TimeMicroseconds);
        writer.Put(Boot);
        writer.Put(Sockets);
        writer.Put(Channels);
        writer.Put((int)Supplies);
        writer.Put(LeaseMilliseconds);
        writer.Put(ConversionMicroseconds);
        writer.Put(SegmentCapacity);
        writer.Put((int)LastReset);
    }

    public static Identity Read(ref FieldReader reader) => new(
        (ushort)reader.Next(), reader.Next(), (ushort)reader.Next(), (byte)reader.Next(), (byte)reader.Next(),
        (Domain.Rigs.Supplies)reader.Next(), (ushort)reader.Next(), (ushort)reader.Next(), (byte)reader.Next(), (ResetReason)reader.Next());
}

public readonly record struct IdentityText(string Firmware, string Board, string SerialNumber) : ILinkMessage<IdentityText>
{
    public static MessageDeclaration Declaration => LinkMessages.IdentityText;

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Firmware);
        writer.Put(Board);
        writer.Put(SerialNumber);
    }

    public static IdentityText Read(ref FieldReader reader) => new(reader.NextText(), reader.NextText(), reader.NextText());
}

public readonly record struct IdentityDrive(byte Bits, int AtZeroMicrovolts, int AtFullScaleMicrovolts) : ILinkMessage<IdentityDrive>
{
    public static MessageDeclaration Declaration => LinkMessages.IdentityDrive;

    public static IdentityDrive Of(DriveScale scale) => new((byte)scale.Bits, Microvolts.Of(scale.AtZero), Microvolts.Of(scale.AtFullScale));

    public DriveScale ToScale() => new(Bits, Microvolts.ToVolts(AtZeroMicrovolts), Microvolts.ToVolts(AtFullScaleMicrovolts));

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Bits);
        writer.Put(AtZeroMicrovolts);
        writer.Put(AtFullScaleMicrovolts);
    }

    public static IdentityDrive Read(ref FieldReader reader) => new((byte)reader.Next(), (int)reader.Next(), (int)reader.Next());
}

public readonly record struct IdentityChannel(byte Channel, byte Bits, byte FractionBits, int AtZeroMicrovolts, int AtFullScaleMicrovolts)
    : ILinkMessage<IdentityChannel>
{
    public static MessageDeclaration Declaration => LinkMessages.IdentityChannel;

    public static IdentityChannel Of(ChannelScale scale) => new(
        (byte)scale.Channel, (byte)scale.Bits, (byte)scale.FractionBits, Microvolts.Of(scale.AtZero), Microvolts.Of(scale.AtFullScale));

    public ChannelScale ToScale() => new(
        (Domain.RigChannel)Channel, Bits, FractionBits, Microvolts.ToVolts(AtZeroMicrovolts), Microvolts.ToVolts(AtFullScaleMicrovolts));

    public void Write(ref FieldWriter writer)
    {
        writer.Put(Channel);
        writer.Put(Bits);
        writer.Put(FractionBits);
        writer.Put(AtZeroMicrovolts);
        writer.Put(AtFullScaleMicrovolts);
    }

    public static IdentityChannel Read(ref FieldReader reader) => new(
        (byte)reader.Next(), (byte)reader.Next(), (byte)reader.Next(), (int)reader.Next(), (int)reader.Next());
}

public readonly record struct IdentityLimits(LimitValues Values) : ILinkMessage<IdentityLimits>
{
    public static MessageDeclaration Declaration => LinkMessages.IdentityLimits;

    public void Write(ref FieldWriter writer) => Values.Write(ref writer);

    public static IdentityLimits Read(ref FieldReader reader) => new(LimitValues.Read(ref reader));
}
