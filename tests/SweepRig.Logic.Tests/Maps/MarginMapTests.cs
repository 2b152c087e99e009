using SweepRig.Logic.Gates;
using SweepRig.Logic.Maps;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Maps;

public sealed class MarginMapTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);
    private static readonly double[] Plates = [8, 14, 20, 26, 32], Screens = [4, 10, 16, 22, 28];

    [Fact]
    public void The_limit_parts_what_works_from_what_does_not()
    {
        var map = Map(new(Buffer(), _ => Part(), MapSupply.Screen, Plates, Screens, 0.5));
        Assert.NotEmpty(map.Limit);
        foreach (var (from, to) in map.Limit)
        {
            foreach (var end in (MapPoint[])[from, to])
            {
                // At its ends the margin is the limit: just above it on one side, and not by much.
                var margin = Margin(end.Rail, end.Other);
                Assert.InRange(margin, 0.5, 0.75);
            }
        }
        for (var o = 0; o < Screens.Length; o++)
            for (var r = 0; r < Plates.Length; r++) Assert.Equal(Margin(Plates[r], Screens[o]), map.Margins[o][r], 1e-9);
    }

    [Fact]
    public void The_room_is_where_the_margin_falls_below_the_limit()
    {
        var map = Map(new(Buffer(), _ => Part(), MapSupply.Screen, Plates, Screens, 0.5));
        Assert.Equal(new(28, 28), map.At);
        Assert.Equal(Margin(28, 28), map.AtMargin, 1e-9);
        var room = map.Room!;
        var down = Assert.NotNull(room.OtherDown);
        Assert.True(Margin(28, down) >= 0.5);
        Assert.True(Margin(28, down - 0.02) < 0.5);
        // Moving both reaches the limit no later than moving one.
        Assert.True(room.NearestShare <= (28 - down) / 28 + 0.02);
        var near = room.Nearest!.Value;
        Assert.Equal(room.NearestShare!.Value, Math.Sqrt(Math.Pow((near.Rail - 28) / 28, 2) + Math.Pow((near.Other - 28) / 28, 2)), 1e-9);
    }

    [Fact]
    public void Triodes_are_mapped_over_their_bias()
    {
        var triodes = GateExamples.Buffer(Rails, new() { IsTriode = true });
        var refused = MarginMapper.Run(new(triodes, _ => Part(), MapSupply.Screen, Plates, Screens), cancel: TestContext.Current.CancellationToken);
        Assert.Equal("no-screens", Assert.Single(refused.Refusals).Code);
        var map = Map(new(triodes, _ => Part(), MapSupply.Bias, [20, 28], [-20, -14, -4], 0.1));
        Assert.Equal(-14, map.At.Other);
        Assert.Equal(NetworkChecker.Check(triodes, _ => Part(), TestContext.Current.CancellationToken).Value?.WorstMarginVolts ?? 0, map.AtMargin, 1e-9);
        Assert.Equal(map.AtMargin < 0.1, map.Room is null);
    }

    [Theory]
    [InlineData(new[] { 20.0 }, new[] { 10.0, 20 }, 0.1, "axis-not-rising")]
    [InlineData(new[] { 20.0, 20 }, new[] { 10.0, 20 }, 0.1, "axis-not-rising")]
    [InlineData(new[] { 20.0, 50 }, new[] { 10.0, 20 }, 0.1, "rail-too-high")]
    [InlineData(new[] { -1.0, 28 }, new[] { 10.0, 20 }, 0.1, "rail-not-positive")]
    [InlineData(new[] { 20.0, 28 }, new[] { 0.0, 20 }, 0.1, "screen-not-positive")]
    [InlineData(new[] { 20.0, 28 }, new[] { 10.0, 20 }, 0.001, "limit-too-small")]
    public void Axes_that_cannot_be_are_refused(double[] rails, double[] others, double limit, string code)
    {
        var outcome = MarginMapper.Run(new(Buffer(), _ => Part(), MapSupply.Screen, rails, others, limit), cancel: TestContext.Current.CancellationToken);
        Assert.Equal(code, Assert.Single(outcome.Refusals).Code);
    }

    [Fact]
    public void It_ends_when_asked_to_and_says_how_far_it_is()
    {
        using var stop = new CancellationTokenSource();
        var told = new Progress();
        told.Told += share => { if (share > 0.05) stop.Cancel(); };
        Assert.ThrowsAny<OperationCanceledException>(() => MarginMapper.Run(new(Buffer(), _ => Part(), MapSupply.Screen, Plates, Screens), told, stop.Token));
        Assert.InRange(told.Last, 0.01, 0.6);
    }

    private static GateNetwork Buffer() => GateExamples.Buffer(Rails, new());

    private static double Margin(double rail, double screen) =>
        NetworkChecker.Check(Buffer() with { Rails = Rails with { Plate = rail, Screen = screen } }, _ => Part(), TestContext.Current.CancellationToken).Value?.WorstMarginVolts ?? 0;

    private static MarginMap Map(MapOrder order)
    {
        var outcome = MarginMapper.Run(order, cancel: TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());

    private sealed class Progress : IProgress<double>
    {
        private double _last;

        public event Action<double>? Told;

        public double Last => Volatile.Read(ref _last);

        public void Report(double value)
        {
            Volatile.Write(ref _last, value);
            Told?.Invoke(value);
        }
    }
}
