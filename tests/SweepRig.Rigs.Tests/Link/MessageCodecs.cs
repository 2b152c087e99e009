using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>The generic codec of each message of fixed length, behind its name.</summary>
internal sealed record MessageCodec(
    MessageDeclaration Declaration, Func<byte[], (object? Message, FieldFault? Fault)> Decode, Func<object, byte[]> Encode);

internal static class MessageCodecs
{
    public static IReadOnlyList<MessageCodec> All { get; } =
    [
        For<Hello>(), For<Limits>(), For<Supplies>(), For<ProgramBegin>(), For<ProgramSegment>(), For<ProgramStart>(), For<Renew>(), For<Stop>(),
        For<Safe>(), For<Release>(), For<AskStatus>(), For<Identity>(), For<IdentityText>(), For<IdentityDrive>(), For<IdentityChannel>(),
        For<IdentityLimits>(), For<Ack>(), For<Nack>(), For<Status>(), For<ProgramEnd>(), For<Tripped>(), For<Restarted>(),
    ];

    public static MessageCodec Find(string name) => All.Single(codec => codec.Declaration.Name == name);

    private static MessageCodec For<T>()
        where T : struct, ILinkMessage<T> => new(T.Declaration, Decode<T>, message => Encode((T)message));

    private static (object?, FieldFault?) Decode<T>(byte[] wire)
        where T : struct, ILinkMessage<T>
    {
        ReadOnlySpan<byte> input = wire;
        Assert.Equal(ReadResult.Frame, new FrameReader().Next(ref input, out var frame));
        Assert.Equal(T.Declaration.Number, frame.Type);
        var fault = frame.Decode<T>(out var message);
        return (message, fault);
    }

    private static byte[] Encode<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        return wire[..FrameWriter.Write(message, 42, wire)];
    }
}
