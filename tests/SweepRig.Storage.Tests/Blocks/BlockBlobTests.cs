using SweepRig.Domain.Runs;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Blocks;

public class BlockBlobTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(1000)]
    public void Every_bit_of_a_block_comes_back(int samples)
    {
        for (var number = 0; number < 50; number++)
        {
            var block = Examples.Block(number, samples);
            Examples.AssertSame(block, BlockBlob.Decode(block.Pass, block.FrameIndex, BlockBlob.Encode(block)));
        }
    }

    [Fact]
    public void The_first_layout_is_read_for_ever()
    {
        // Made from the description of the layout by another program, see Golden/README.md.
        var golden = File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "Golden", "block-v1.bin"));
        var expected = new SampleBlock
        {
            Pass = 1,
            FrameIndex = 5,
            PointIndex = [0, 1, 65535],
            SampledAtTicks = [1, (1L << 40) + 7, -1],
            DriveCode = [410, 411, 4095],
            Flags = [SampleFlags.Settled, SampleFlags.Settled | SampleFlags.Clipped, SampleFlags.Settled | SampleFlags.Clipped | SampleFlags.Repeated],
            AveragedCount = [16, 256, 1],
            Spread = [0, 12, 65535],
            Codes = [[45000, 44999, 65535], [0, 1, 2], [], [44800, 44801, 44802], [100, 200, 300]],
        };
        Examples.AssertSame(expected, BlockBlob.Decode(1, 5, golden));
        Assert.Equal(golden, BlockBlob.Encode(expected));
    }

    [Fact]
    public void A_single_changed_bit_anywhere_is_noticed()
    {
        var blob = BlockBlob.Encode(Examples.Block(3));
        for (var bit = 0; bit < blob.Length * 8; bit++)
        {
            blob[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.Throws<InvalidDataException>(() => BlockBlob.Decode(0, 0, blob));
            blob[bit / 8] ^= (byte)(1 << (bit % 8));
        }
    }

    [Fact]
    public void Every_shortened_block_is_noticed()
    {
        var blob = BlockBlob.Encode(Examples.Block(3));
        for (var length = 0; length < blob.Length; length++)
            Assert.Throws<InvalidDataException>(() => BlockBlob.Decode(0, 0, blob.AsSpan(0, length)));
    }

    [Fact]
    public void A_later_layout_is_named()
    {
        var blob = BlockBlob.Encode(Examples.Block(3));
        blob[0] = 2;
        var fault = Assert.Throws<InvalidDataException>(() => BlockBlob.Decode(0, 0, blob));
        Assert.Contains("layout 2", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Columns_of_different_length_are_a_bug() =>
        Assert.Throws<ArgumentException>(() => BlockBlob.Encode(Examples.Block(3) with { Spread = [1] }));
}
