using SweepRig.Analysis.Matching;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Matching;

public sealed class CurveLikenessTests
{
    [Fact]
    public void The_same_curve_swept_over_other_drives_is_alike()
    {
        var (one, other) = (Line(-4, 4, 81, 0), Line(-3, 5, 33, 0));
        var likeness = CurveLikeness.Of([one, other], null)!;
        Assert.Equal((-3.0, 4.0), (likeness.Drives[0], likeness.Drives[^1]));
        Assert.InRange(likeness.Distance(likeness.Read(one), likeness.Read(other)), 0, 1e-9);
    }

    // Everywhere 0.3 V apart, each reading known to 0.03 V, drives exactly: 0.3 / (0.03 sqrt 2) = 7.07; with a tolerance of 0.1 V it is 3.
    [Fact]
    public void A_curve_that_is_shifted_up_is_as_far_as_its_shift_over_the_uncertainty()
    {
        var (one, other) = (Line(-4, 4, 81, 0), Line(-4, 4, 81, 0.3));
        var likeness = CurveLikeness.Of([one, other], null)!;
        var (a, b) = (likeness.Read(one), likeness.Read(other));
        Assert.Equal(0.3 / (0.03 * Math.Sqrt(2)), likeness.Distance(a, b), 6);
        Assert.Equal(3, (likeness with { Tolerance = 0.1 }).Distance(a, b), 6);
        Assert.Equal(-0.3, likeness.Farthest(a, b).Difference.Value!.Value, 9);
        Assert.Equal(likeness.Distance(a, b), likeness.Distance(b, a), 12);
    }

    [Fact]
    public void The_uncertainty_of_the_drive_counts_by_the_slope()
    {
        var curve = Line(-4, 4, 81, 0) with { DriveUncertainty = [.. Enumerable.Repeat(0.02, 81)] };
        var read = CurveLikeness.Of([curve], null)!.Read(curve);
        // The line falls 2 V a volt.
        Assert.All(read.Uncertainty, u => Assert.Equal(Math.Sqrt(0.03 * 0.03 + 0.04 * 0.04), u, 9));
    }

    [Fact]
    public void Missing_points_are_bridged_and_curves_that_share_no_drive_are_not_compared()
    {
        var whole = Line(-4, 4, 81, 0);
        var holed = Line(-4, 4, 81, 0);
        for (var i = 20; i < 30; i++) holed.Plate[i] = holed.Drive[i] = double.NaN;
        var likeness = CurveLikeness.Of([whole, holed], null)!;
        Assert.InRange(likeness.Distance(likeness.Read(whole), likeness.Read(holed)), 0, 1e-9);
        Assert.Null(CurveLikeness.Of([whole, Line(5, 9, 21, 0)], null));
        Assert.False(CurveLikeness.CanRead(Line(0, 0, 1, 0)));
    }

    [Fact]
    public void The_drive_where_two_differ_most_is_named()
    {
        var (one, other) = (Line(-4, 4, 81, 0), Line(-4, 4, 81, 0));
        other.Plate[60] += 0.5;
        var likeness = CurveLikeness.Of([one, other], null)!;
        // Point 60 of 81 from -4 V to 4 V is at 2 V.
        Assert.Equal(2, likeness.Farthest(likeness.Read(one), likeness.Read(other)).Drive, 1);
    }

    private static Curve Line(double from, double to, int points, double shift)
    {
        double[] drive = [.. Enumerable.Range(0, points).Select(i => points == 1 ? from : from + i * (to - from) / (points - 1))];
        double[] none = new double[points];
        return new()
        {
            Pass = new(0, PassDirection.Up, points, 0, null), Drive = drive, Grid = none, Plate = [.. drive.Select(d => 14 - 2 * d + shift)], Screen = none, Supply = none,
            GridCurrent = none, ScreenCurrent = none, PlateCurrent = none, PlateUncertainty = [.. Enumerable.Repeat(0.03, points)], Flags = new SampleFlags[points], SampledAtTicks = new long[points],
        };
    }
}
