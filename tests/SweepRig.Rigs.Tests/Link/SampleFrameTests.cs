using System.Numerics;
using CsCheck;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Tests.Link;

public class SampleFrameTests
{
    private sealed record Point(int Number, long At, ushort Drive, SampleFlags Flags, ushort Averaged, ushort Spread, ushort[] Codes);

    private static readonly ushort[] FourCodes = [1, 2, 3, 4];

    private static readonly Gen<(byte Mask, Point[] Points)> Passes =
        from mask in Gen.Byte[1, 31]
        from first in Gen.Int[0, 60_000]
        from start in Gen.Long[0, 1L << 40]
        from points in Gen.Select(
            Gen.Int[1, 3], Gen.Int[1, 90_000], Gen.UShort, Gen.Int[0, 3], Gen.OneOf(Gen.Const((ushort)16), Gen.UShort[1, 65535]), Gen.UShort,
            Gen.UShort.Array[BitOperations.PopCount(mask)]).Array[1, 60]
        select (mask, Lay(first, start, points));

    /// <summary>Jumps in number, pauses and changes of the averaged count close a frame; none of them loses or alters a sample.</summary>
    [Fact]
    public void Every_sample_comes_out_as_it_went_in() => Passes.Sample(pass =>
    {
        var blocks = Send(pass.Mask, pass.Points);
        Assert.Equal(Enumerable.Range(0, blocks.Count), blocks.Select(b => b.FrameIndex));
        var received = blocks.SelectMany(b => Enumerable.Range(0, b.Count).Select(i => new Point(
            b.PointIndex[i], b.SampledAtTicks[i], b.DriveCode[i], b.Flags[i], b.AveragedCount[i], b.Spread[i],
            [.. RigChannels.All.Where(c => (pass.Mask & (1 << (int)c)) != 0).Select(c => b.Codes[(int)c][i])])));
        foreach (var (sent, got) in pass.Points.Zip(received, (a, b) => (a, b)))
        {
            Assert.Equal(sent with { Codes = [] }, got with { Codes = [] });
            Assert.Equal(sent.Codes, got.Codes);
        }
        Assert.Equal(pass.Points.Length, blocks.Sum(b => b.Count));
    }, iter: 500);

    [Theory]
    [InlineData(0b0001, 12)]
    [InlineData(0b1111, 7)]
    [InlineData(0b11111, 6)]
    public void A_frame_holds_as_many_as_the_specification_says(byte mask, int capacity) => Assert.Equal(capacity, SampleHeader.CapacityOf(mask));

    /// <summary>1 Mbaud with start and stop bit carries 100 kB/s.</summary>
    [Fact]
    public void Five_thousand_samples_a_second_of_four_channels_fit_into_a_megabaud()
    {
        var builder = new SampleFrameBuilder(1, 0b1111);
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        var bytes = 0;
        for (var i = 0; i < 5_000; i++)
        {
            if (builder.TryAdd(i, i * 200, 4000, SampleFlags.Settled, 16, 9, [60_000, 60_000, 60_000, 60_000])) continue;
            bytes += builder.Write(0, wire);
            Assert.True(builder.TryAdd(i, i * 200, 4000, SampleFlags.Settled, 16, 9, [60_000, 60_000, 60_000, 60_000]));
        }
        bytes += builder.Write(0, wire);
        Assert.InRange(bytes, 80_000, 95_000);
    }

    [Fact]
    public void Nothing_is_allocated_for_a_sample_on_the_way_out()
    {
        var builder = new SampleFrameBuilder(1, 0b1111);
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        for (var i = 0; i < 200; i++) Add(builder, i, wire);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 200; i < 2_000; i++) Add(builder, i, wire);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    private static void Add(SampleFrameBuilder builder, int i, Span<byte> wire)
    {
        if (builder.TryAdd(i, i, 1, SampleFlags.None, 1, 0, FourCodes)) return;
        builder.Write(0, wire);
        builder.TryAdd(i, i, 1, SampleFlags.None, 1, 0, FourCodes);
    }

    private static Point[] Lay(int first, long start, (int Step, int Pause, ushort Drive, int Flags, ushort Averaged, ushort Spread, ushort[] Codes)[] points)
    {
        var (number, at) = (first, start);
        return [.. points.Select(p => new Point(number += p.Step == 3 ? 5 : 1, at += p.Pause, p.Drive, (SampleFlags)p.Flags, p.Averaged, p.Spread, p.Codes))];
    }

    private static List<SampleBlock> Send(byte mask, Point[] points)
    {
        var builder = new SampleFrameBuilder(9, mask);
        List<SampleBlock> blocks = [];
        foreach (var p in points)
        {
            if (Try(p)) continue;
            Flush();
            Assert.True(Try(p));
        }
        Flush();
        return blocks;

        bool Try(Point p) => builder.TryAdd(p.Number, p.At, p.Drive, p.Flags, p.Averaged, p.Spread, p.Codes);

        void Flush()
        {
            var at = builder.OldestMicroseconds;
            var wire = new byte[LinkProtocol.MaxWireBytes];
            ReadOnlySpan<byte> input = wire.AsSpan(0, builder.Write(0, wire));
            Assert.Equal(ReadResult.Frame, new FrameReader().Next(ref input, out var frame));
            Assert.Null(SampleFrame.DecodeHeader(frame, out var header));
            Assert.Equal((uint)at, header.TimeMicroseconds);
            Assert.Null(SampleFrame.DecodeSamples(frame, header, 0, header.Frame, at, false, out var block));
            blocks.Add(block!);
        }
    }
}
