using CsCheck;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

public class MessageRoundTripTests
{
    public static TheoryData<string> Names => [.. LinkMessages.All.Where(m => m.Records.Length == 0).Select(m => m.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Any_payload_within_the_declaration_decodes_and_encodes_back_to_the_same_bytes(string name)
    {
        var codec = MessageCodecs.Find(name);
        MessageGenerators.Payload(codec.Declaration).Sample(payload =>
        {
            var wire = Wire(codec.Declaration, payload);
            var (message, fault) = codec.Decode(wire);
            Assert.Null(fault);
            Assert.Equal(wire, codec.Encode(message!));
        }, iter: 300);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void One_field_out_of_range_is_named_and_never_written(string name)
    {
        var codec = MessageCodecs.Find(name);
        var at = 0;
        foreach (var field in codec.Declaration.Fields)
        {
            foreach (var bad in OutOfRange(field))
            {
                var payload = MessageGenerators.Lowest(codec.Declaration);
                BitConverter.GetBytes(bad).AsSpan(0, field.Bytes).CopyTo(payload.AsSpan(at));
                var wire = Wire(codec.Declaration, payload);
                var (message, fault) = codec.Decode(wire);
                Assert.NotNull(fault);
                Assert.Equal((name, field.Name), (fault.Message, fault.Field));
                byte[]? written = null;
                if (Record.Exception(() => written = codec.Encode(message!)) is null) Assert.NotEqual(wire, written);
            }
            at += field.Bytes;
        }
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void A_payload_of_another_length_is_refused(string name)
    {
        var codec = MessageCodecs.Find(name);
        var payload = MessageGenerators.Lowest(codec.Declaration);
        Assert.NotNull(codec.Decode(Wire(codec.Declaration, [.. payload, 0])).Fault);
        if (payload.Length > 0) Assert.NotNull(codec.Decode(Wire(codec.Declaration, payload[..^1])).Fault);
    }

    private static IEnumerable<long> OutOfRange(FieldDeclaration field)
    {
        if (field.Type == FieldType.Text) yield break;
        var (lowest, highest) = field.Type switch
        {
            FieldType.U8 => (0L, 255L),
            FieldType.U16 => (0L, 65535L),
            FieldType.U32 => (0L, uint.MaxValue),
            FieldType.I32 => (int.MinValue, int.MaxValue),
            _ => (-1L, long.MaxValue),
        };
        if (field.Min > lowest) yield return field.Min - 1;
        if (field.Max < highest) yield return field.Max + 1;
        if (field.OneOf is not null) yield return field.OneOf[^1] - 1;
    }

    private static byte[] Wire(MessageDeclaration declaration, byte[] payload)
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        return wire[..FrameWriter.Write(declaration, 42, payload, wire)];
    }
}
