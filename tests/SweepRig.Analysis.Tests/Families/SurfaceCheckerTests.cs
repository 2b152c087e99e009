using SweepRig.Analysis.Families;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using static SweepRig.Analysis.Tests.Families.Bench;

namespace SweepRig.Analysis.Tests.Families;

public sealed class SurfaceCheckerTests
{
    private static readonly double[] Drive = Analysis.Tests.Curves.Even(-6, 6, 0.25);

    private static PlateSurface Surface(int seed) =>
        PlateSurface.Of([Run(With(ConnectionKind.Triode, 10_000), seed, Drive, SteppedSource.PlateRail, 6, 10, 14, 18, 22, 26, 30)]).Value!;

    /// <summary>A sweep with another resistor, read by a rig without errors but its noise.</summary>
    private static ModelRun Swept(double ohms, double rail, int seed, double lift = 0)
    {
        var connection = With(ConnectionKind.Triode, ohms, rail);
        var exact = Analysis.Tests.Curves.Known(Analysis.Tests.Curves.Exact);
        var known = exact with { Resistors = [new ResistorUncertainty(ResistorPlace.Plate, ohms, 0, 0, true), .. exact.Resistors.Skip(1)] };
        return new("swept", connection, [.. Run(connection, seed, Drive).Curves.Select(c => c with { Plate = Array.ConvertAll(c.Plate, v => v + lift) })], known);
    }

    [Theory]
    [InlineData(22_000, 26)]
    [InlineData(15_000, 20)]
    public void A_load_line_holds_against_a_sweep_made_with_it(double ohms, double rail)
    {
        var held = 0;
        for (var seed = 1; seed <= 20; seed++)
        {
            var check = SurfaceChecker.Of(Surface(seed), Swept(ohms, rail, 1_000 + seed))!;
            Assert.True(check.Points >= Drive.Length - 2, $"{check.Points} points");
            if (check.Within) held++;
        }
        // Of 20 that hold with 95 % or more, fewer than 16 are seen with a probability of 0.3 % (binomial).
        Assert.True(held >= 16, $"{held} of 20");
    }

    [Fact]
    public void An_output_that_lies_off_by_more_than_stated_is_told_with_where_and_how_far()
    {
        var check = SurfaceChecker.Of(Surface(1), Swept(22_000, 26, 7, lift: 1))!;
        Assert.False(check.Within);
        Assert.True(check.PointsWithin < check.Points);
        Assert.InRange(check.WorstDeviation, 0.8, 1.2);
        Assert.True(check.WorstAllowed < check.WorstDeviation);
        // Wider than at a single point: a curve has many.
        Assert.True(check.CoverageFactor > 2.5);
    }

    [Fact]
    public void Where_no_point_lies_within_the_surface_nothing_is_said() =>
        Assert.Null(SurfaceChecker.Of(Surface(1), Swept(10_000, 55, 7)));
}
