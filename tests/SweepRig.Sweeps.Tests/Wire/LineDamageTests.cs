using SweepRig.Wire.Line;

namespace SweepRig.Sweeps.Tests.Wire;

public sealed class LineDamageTests
{
    private static readonly LineRates AllOfIt = new()
    {
        DropByte = 0.01, DropFrame = 0.1, DuplicateByte = 0.01, DuplicateFrame = 0.1, SwapBytes = 0.01, SwapFrames = 0.1, FlipBit = 0.01, Burst = 0.01, Delay = 0.1, Stall = 0.05,
    };

    /// <summary>A thousand frames of ten bytes, each telling its number.</summary>
    private static byte[] Traffic { get; } = [.. Enumerable.Range(0, 1000).SelectMany(i => (byte[])[(byte)(1 + i / 100), (byte)(1 + i % 100), 7, 7, 7, 7, 7, 7, 7, 0])];

    [Fact]
    public void A_clean_line_carries_everything_as_it_is()
    {
        var line = new LineDamage(LineRates.Clean, 1);
        Assert.Equal(Traffic, line.Pass(Traffic).SelectMany(o => o.Bytes));
        Assert.Equal((1000, 0), (line.Frames, line.Damaged));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(4096)]
    public void The_same_seed_does_the_same_in_whatever_portions_bytes_come(int portion)
    {
        var whole = new LineDamage(AllOfIt, 5).Pass(Traffic);
        var line = new LineDamage(AllOfIt, 5);
        var parts = Traffic.Chunk(portion).SelectMany(c => line.Pass(c)).ToList();
        Assert.Equal(whole.Select(o => Convert.ToHexString(o.Bytes)), parts.Select(o => Convert.ToHexString(o.Bytes)));
        Assert.Equal(whole.Select(o => o.Wait), parts.Select(o => o.Wait));
        Assert.NotEqual(whole.Sum(o => o.Bytes.Length), new LineDamage(AllOfIt, 6).Pass(Traffic).Sum(o => o.Bytes.Length));
    }

    [Fact]
    public void Each_fault_comes_at_its_rate_and_does_what_it_says()
    {
        Assert.InRange(Out(new() { DropFrame = 0.1 }).Count, 860, 940);
        Assert.InRange(Out(new() { DuplicateFrame = 0.1 }).Count, 1060, 1140);
        var moved = Out(new() { SwapFrames = 0.1 });
        Assert.InRange(moved.Zip(moved.Skip(1)).Count(p => string.CompareOrdinal(p.First, p.Second) > 0), 50, 100);
        Assert.InRange(moved.Count, 996, 1000);
        Assert.InRange(Bytes(new() { DropByte = 0.01 }).Count(), 9860, 9940);
        Assert.InRange(Bytes(new() { DuplicateByte = 0.01 }).Count(), 10_060, 10_140);
        Assert.InRange(Bytes(new() { FlipBit = 0.01 }).Zip(Traffic).Count(p => int.PopCount(p.First ^ p.Second) == 1), 60, 140);
        Assert.InRange(Bytes(new() { Burst = 0.001 }).Zip(Traffic).Count(p => p.First != p.Second), 20, 120);
        var swapped = Bytes(new() { SwapBytes = 0.01 }).ToArray();
        Assert.NotEqual(Traffic, swapped);
        Assert.Equal(Traffic.Order(), swapped.Order());
        var late = new LineDamage(new() { Delay = 0.1 }, 3).Pass(Traffic);
        Assert.Equal(Traffic, late.SelectMany(o => o.Bytes));
        Assert.InRange(late.Count(o => o.Wait > TimeSpan.Zero), 60, 140);
        Assert.True(new LineDamage(new() { Stall = 0.1 }, 3).Pass(Traffic).Max(o => o.Wait) > TimeSpan.FromSeconds(1));
    }

    private static IEnumerable<byte> Bytes(LineRates rates) => new LineDamage(rates, 3).Pass(Traffic).SelectMany(o => o.Bytes);

    private static List<string> Out(LineRates rates) => [.. new LineDamage(rates, 3).Pass(Traffic).Select(o => Convert.ToHexString(o.Bytes))];
}
