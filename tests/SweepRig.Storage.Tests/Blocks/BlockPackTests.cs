using SweepRig.Domain.Runs;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Blocks;

public class BlockPackTests
{
    private static SampleBlock[] Some { get; } = [.. Enumerable.Range(0, 40).Select(n => Examples.Block(n, samples: 1 + n % 9))];

    /// <summary>As a link brings a sweep: a few samples a frame, codes that creep with noise on them.</summary>
    private static SampleBlock[] Sweep(int points, int perFrame, double noise)
    {
        var random = new Random(9);
        ushort Code(int i, double slope) => (ushort)(2000 + slope * i + noise * (random.NextDouble() + random.NextDouble() - random.NextDouble() - random.NextDouble()));
        return [.. Enumerable.Range(0, points).Chunk(perFrame).Select((chunk, frame) => new SampleBlock
        {
            Pass = 0,
            FrameIndex = frame,
            PointIndex = [.. chunk.Select(i => (ushort)i)],
            SampledAtTicks = [.. chunk.Select(i => 5_000_000L + 2300 * i + random.Next(40))],
            DriveCode = [.. chunk.Select(i => (ushort)(8 * i))],
            Flags = new SampleFlags[chunk.Length],
            AveragedCount = [.. chunk.Select(_ => (ushort)16)],
            Spread = [.. chunk.Select(_ => (ushort)random.Next(40))],
            Codes = [.. new[] { 90.0, 60, 40, 0, 110 }.Select(slope => chunk.Select(i => Code(i, slope)).ToArray())],
        })];
    }

    [Fact]
    public void Any_blocks_come_back_as_they_were()
    {
        var read = BlockPack.Decode(BlockPack.Encode(Some));
        Assert.Equal(Some.Length, read.Count);
        for (var i = 0; i < Some.Length; i++) Examples.AssertSame(Some[i], read[i]);
        Assert.Empty(BlockPack.Decode(BlockPack.Encode([])));
    }

    [Fact]
    public void Times_and_codes_at_their_limits_come_back()
    {
        var block = Examples.Block(3, samples: 4) with
        {
            SampledAtTicks = [long.MinValue, long.MaxValue, 0, -1],
            DriveCode = [0, 65535, 0, 32768],
        };
        Examples.AssertSame(block, Assert.Single(BlockPack.Decode(BlockPack.Encode([block]))));
    }

    [Fact]
    public void A_sweep_takes_less_room_than_its_codes()
    {
        var blocks = Sweep(512, 5, noise: 3);
        Assert.InRange(BlockPack.Encode(blocks).Length, 1, 2 * 512 * 5);
    }

    [Fact]
    public void Every_changed_byte_and_every_missing_end_is_noticed()
    {
        var cell = BlockPack.Encode(Some[..3]);
        for (var i = 0; i < cell.Length; i++)
        {
            var changed = cell.ToArray();
            changed[i] ^= 0x41;
            Assert.Throws<InvalidDataException>(() => BlockPack.Decode(changed));
            Assert.Throws<InvalidDataException>(() => BlockPack.Decode(cell.AsSpan(0, i)));
        }
    }

    [Fact]
    public void The_layout_is_the_one_that_is_described()
    {
        // By hand: one block of one sample in pass 2, frame 3, of channel 1 alone.
        var block = new SampleBlock
        {
            Pass = 2, FrameIndex = 3, PointIndex = [300], SampledAtTicks = [-1], DriveCode = [5], Flags = [(SampleFlags)4], AveragedCount = [16], Spread = [258],
            Codes = [[], [1000], [], [], []],
        };
        byte[] content =
        [
            1, 2, 3, 1, 0b10,       // one block: pass, frame, samples, channels
            0x58, 0x02,             // 300 as a step: 600, low byte before high
            1,                      // -1: zigzag of the change of the step
            10, 0, 4, 32, 0,        // drive 5, flags, 16 averaged
            2, 1,                   // spread 258, no step
            0xD0, 0x07,             // 1000 as a step: 2000
        ];
        var cell = BlockPack.Encode([block]);
        Assert.Equal(2, cell[0]);
        Assert.Equal(content.Length, BitConverter.ToInt32(cell, 1));
        using var unpacked = new MemoryStream();
        using (var brotli = new System.IO.Compression.BrotliStream(new MemoryStream(cell[5..^4]), System.IO.Compression.CompressionMode.Decompress)) brotli.CopyTo(unpacked);
        Assert.Equal(content, unpacked.ToArray());
    }
}
