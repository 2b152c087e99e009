using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Time and charge above 0 V, block by block.</summary>
public sealed class ExposureTests
{
    /// <summary>A block that ends at this second of the rig and begins half a second before, with this much above 0 V.</summary>
    private static BlockSummary Block(double ends, double seconds = 0, double coulombs = 0) => new(-1, -1, 0, 0, 28, 28)
    {
        FirstSeconds = ends - 0.5, LastSeconds = ends, PositiveSeconds = seconds, GridCoulombs = coulombs,
    };

    private static Exposure Of(params BlockSummary[] blocks) => blocks.Aggregate(Exposure.None, (e, b) => e.With(b));

    private static (double, double, double, double) Figures(Exposure of) => (of.PassSeconds, of.PassCoulombs, of.MinuteSeconds, of.MinuteCoulombs);

    [Fact]
    public void A_block_counts_to_the_pass_and_to_the_minute()
    {
        Assert.Equal((0.0, 0.0, 0.0, 0.0), Figures(Exposure.None));
        Assert.Equal((0.75, 2e-3, 0.75, 2e-3), Figures(Of(Block(1, 0.25, 1e-3), Block(1.5, 0.5, 1e-3))));
        Assert.Equal((0.75, 2e-3, 0.75, 2e-3), Figures(Of(Block(1, 0.25, 1e-3), Block(31, 0.5, 1e-3))));
    }

    [Fact]
    public void The_next_pass_begins_anew_and_the_minute_stays()
    {
        var next = Of(Block(1, 0.25, 1e-3)).ForNextPass();
        Assert.Equal((0.0, 0.0, 0.25, 1e-3), Figures(next));
        Assert.Equal((0.5, 2e-3, 0.75, 3e-3), Figures(next.With(Block(2, 0.5, 2e-3))));
    }

    /// <summary>In steps of 2 s, thirty of them: what fell into the first step (0 to 2 s) is let go once the one from 60 s on has begun, 58.1 to 60 s later.</summary>
    [Theory]
    [InlineData(0.5, 59.9, 1.0)]
    [InlineData(1.9, 59.9, 1.0)]
    [InlineData(0.5, 60.0, 0.0)]
    [InlineData(1.9, 60.0, 0.0)]
    [InlineData(2.0, 61.9, 1.0)]
    [InlineData(2.0, 62.0, 0.0)]
    [InlineData(0.5, 6_000.0, 0.0)]
    public void The_minute_is_let_go_in_steps_of_two_seconds(double at, double looked, double minute)
    {
        var of = Of(Block(at, 1, 1), Block(looked));
        Assert.Equal((1.0, 1.0, minute, minute), Figures(of));
    }

    /// <summary>One sample a block, as of a slow plan: the time since the block before belongs to the first sample of this one.</summary>
    [Fact]
    public void What_lies_between_two_blocks_counts_with_the_later_one()
    {
        var later = Block(1.75) with { StartsPositive = true, FirstGridCurrent = 2e-3 };
        Assert.Equal((0.25, 0.5e-3, 0.25, 0.5e-3), Figures(Of(Block(1), later)));
        Assert.Equal((0.25, 0.0, 0.25, 0.0), Figures(Of(Block(1), later with { FirstGridCurrent = -2e-3 })));
        Assert.Equal((0.0, 0.0, 0.0, 0.0), Figures(Of(Block(1), later with { StartsPositive = false })));
        Assert.Equal((0.0, 0.0, 0.0, 0.0), Figures(Of(later)));
        Assert.Equal((0.0, 0.0, 0.0, 0.0), Figures(Of(Block(1)).ForNextPass().With(later)));
    }

    /// <summary>Nothing is known of a longer silence, and blocks that overlap have no time between them.</summary>
    [Theory]
    [InlineData(9.75, 9.75)]
    [InlineData(10.0, 0.0)]
    [InlineData(-0.25, 0.0)]
    public void Between_blocks_counts_less_than_ten_seconds(double gap, double counted) =>
        Assert.Equal(counted, Of(Block(1), Block(1.5 + gap) with { StartsPositive = true }).PassSeconds);

    [Fact]
    public void A_block_without_a_clock_changes_nothing()
    {
        var of = Of(Block(1, 0.25));
        Assert.Same(of, of.With(Block(double.NaN, 5)));
    }

    [Fact]
    public void After_a_clock_that_began_anew_the_minute_begins_anew()
    {
        Assert.Equal((1.5, 0.0, 0.5, 0.0), Figures(Of(Block(100, 1), Block(3, 0.5))));
        Assert.Equal((1.5, 0.0, 1.5, 0.0), Figures(Of(Block(101.5, 1), Block(100.5, 0.5))));
    }

    /// <summary>Pairs that differ in one thing alone, and are different.</summary>
    public static TheoryData<string> Differences => [.. Pairs.Keys];

    private static readonly Dictionary<string, (Exposure A, Exposure B)> Pairs = new()
    {
        ["step of the clock"] = (Of(Block(1)).ForNextPass(), Of(Block(3)).ForNextPass()),
        ["end of the last block"] = (Of(Block(1)), Of(Block(1.5))),
        ["seconds of the pass"] = (Of(Block(1, 1), Block(1.5)), Of(Block(1, 1)).ForNextPass().With(Block(1.5))),
        ["charge of the pass"] = (Of(Block(1, 0, 1), Block(1.5)), Of(Block(1, 0, 1)).ForNextPass().With(Block(1.5))),
        ["where in the minute its seconds are"] = (Of(Block(1, 1), Block(3)), Of(Block(1), Block(3, 1))),
        ["where in the minute its charge is"] = (Of(Block(1, 0, 1), Block(3)), Of(Block(1), Block(3, 0, 1))),
    };

    [Theory]
    [MemberData(nameof(Differences))]
    public void Exposures_that_differ_in_anything_are_different(string difference)
    {
        var (a, b) = Pairs[difference];
        Assert.False(a.Equals(b));
        Assert.False(b.Equals(a));
    }

    [Fact]
    public void Exposures_that_count_the_same_are_equal()
    {
        Assert.Equal(Of(Block(1, 0.25, 1), Block(3)), Of(Block(1, 0.25, 1), Block(3)));
        Assert.Equal(Of(Block(1, 0.25)).GetHashCode(), Of(Block(1, 0.25)).GetHashCode());
        Assert.Equal(Exposure.None, Of(Block(1)).ForNextPass());
        Assert.False(Exposure.None.Equals(null));
    }
}
