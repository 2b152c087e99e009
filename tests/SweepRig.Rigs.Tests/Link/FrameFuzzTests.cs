using CsCheck;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

public class FrameFuzzTests
{
    private static readonly Gen<byte[]> AnyFrame =
        from message in Gen.OneOf([.. LinkMessages.All.Where(m => m != LinkMessages.FlightRecord).Select(Gen.Const)])
        from sequence in Gen.Byte
        from payload in MessageGenerators.Payload(message)
        select Wire(message, sequence, payload);

    /// <summary>A CRC of 32 bits takes 1 of 4.3·10⁹ random pieces for a frame; with some 10⁵ here one would be a fault.</summary>
    [Fact]
    public void Random_bytes_never_crash_and_never_make_a_frame() =>
        Gen.Byte.Array[0, 600].Sample(noise => Read(noise).Count == 0, iter: 20_000);

    [Fact]
    public void Any_single_changed_byte_is_noticed_and_the_frames_around_it_survive() =>
        Gen.Select(AnyFrame, AnyFrame, AnyFrame, Gen.Int[0, 10_000], Gen.Int[1, 255]).Sample((before, hit, after, at, flip) =>
        {
            var damaged = (byte[])hit.Clone();
            damaged[at % (damaged.Length - 1)] ^= (byte)flip;
            var found = Read([.. before, .. damaged, .. after]);
            Assert.Equal([Unpack(before), Unpack(after)], found);
        }, iter: 3_000);

    [Fact]
    public void A_frame_cut_anywhere_is_noticed_and_the_next_one_is_found() =>
        Gen.Select(AnyFrame, AnyFrame, Gen.Int[0, 10_000]).Sample((cut, after, at) =>
        {
            var keep = at % (cut.Length - 1);
            Assert.Equal([Unpack(after)], Read([.. cut[..keep], 0, .. after]));
        }, iter: 3_000);

    [Fact]
    public void Bytes_may_come_in_any_portions() =>
        Gen.Select(AnyFrame.Array[1, 5], Gen.Int[1, 40]).Sample((frames, portion) =>
        {
            var reader = new FrameReader();
            List<string> found = [];
            foreach (var part in frames.SelectMany(f => f).Chunk(portion)) Collect(reader, part, found);
            Assert.Equal(frames.Select(Unpack), found);
        });

    [Fact]
    public void A_flood_without_an_end_is_held_within_one_frame_and_counted_once()
    {
        var reader = new FrameReader();
        List<string> found = [];
        Collect(reader, [0, .. Enumerable.Repeat((byte)0xAA, 1_000_000), 0], found);
        Assert.Empty(found);
        Assert.Equal(1, reader.Damaged);
    }

    [Fact]
    public void The_tail_of_an_earlier_frame_is_no_damage_but_a_bad_frame_is_counted_and_kept_in_hex()
    {
        var reader = new FrameReader();
        ReadOnlySpan<byte> input = [0x11, 0x22, 0, 0, 0x33, 0x44, 0];
        Assert.Equal(ReadResult.Damaged, reader.Next(ref input, out _));
        Assert.Equal((1, "3344"), (reader.Damaged, reader.DamagedHex));
        Assert.Equal(ReadResult.NeedMore, reader.Next(ref input, out _));
    }

    /// <summary>What passes the check may still be nonsense; decoding it gives a fault or a message, never an exception.</summary>
    [Fact]
    public void Any_payload_under_a_good_check_decodes_or_is_faulted() =>
        Gen.Select(Gen.Int[0, 31], Gen.Byte.Array[0, LinkProtocol.MaxPayloadBytes]).Sample((type, payload) =>
        {
            var declaration = LinkMessages.Find(type) ?? LinkMessages.Stop with { Number = (byte)type };
            ReadOnlySpan<byte> input = Wire(declaration, 1, payload);
            Assert.Equal(ReadResult.Frame, new FrameReader().Next(ref input, out var frame));
            foreach (var codec in MessageCodecs.All.Where(c => c.Declaration.Number == type)) codec.Decode(Wire(declaration, 1, payload));
            if (SampleFrame.DecodeHeader(frame, out var header) is null) SampleFrame.DecodeSamples(frame, header, 0, 0, 0, false, out _);
        }, iter: 5_000);

    private static List<string> Read(byte[] wire)
    {
        List<string> found = [];
        Collect(new(), wire, found);
        return found;
    }

    private static void Collect(FrameReader reader, ReadOnlySpan<byte> input, List<string> found)
    {
        ReadResult result;
        while ((result = reader.Next(ref input, out var frame)) != ReadResult.NeedMore)
            if (result == ReadResult.Frame) found.Add(Convert.ToHexString(frame.Bytes));
    }

    private static string Unpack(byte[] wire)
    {
        var frame = new byte[LinkProtocol.MaxFrameBytes];
        Assert.True(Cobs.TryDecode(wire.AsSpan(0, wire.Length - 1), frame, out var length));
        return Convert.ToHexString(frame.AsSpan(0, length - LinkProtocol.CheckBytes));
    }

    private static byte[] Wire(MessageDeclaration message, byte sequence, byte[] payload)
    {
        var wire = new byte[LinkProtocol.MaxWireBytes];
        return wire[..FrameWriter.Write(message, sequence, payload, wire)];
    }
}
