using SweepRig.Analysis.Families;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using static SweepRig.Analysis.Tests.Families.Bench;

namespace SweepRig.Analysis.Tests.Families;

public sealed class FamilyLinesTests
{
    private static readonly double[] Rails = [6, 10, 14, 18, 22, 26, 30];

    [Theory]
    [InlineData(-4, 0, 0.05)]
    [InlineData(-10, 20, 0.25)]
    public void Lines_are_of_round_drives_and_stand_apart(double from, double to, double step)
    {
        var surface = PlateSurface.Of([Run(With(ConnectionKind.Triode, 10_000), 1, Analysis.Tests.Curves.Even(from, to, step), SteppedSource.PlateRail, Rails)]).Value!;
        var drives = FamilyLines.Drives(surface);
        Assert.InRange(drives.Count, 6, 24);
        Assert.All(drives, d => Assert.Equal(Math.Round(d, 1), d));
        var tops = drives.Select(d => surface.Line(d, 41)[^1].PlateAmps).ToArray();
        var greatest = tops.Max();
        Assert.All(tops.Zip(tops.Skip(1)), pair => Assert.True(pair.Second - pair.First > 0.02 * greatest));
    }

    [Fact]
    public void A_drawn_line_passes_through_what_was_read()
    {
        var surface = PlateSurface.Of([Run(With(ConnectionKind.Triode, 10_000), 1, Analysis.Tests.Curves.Even(-4, 0, 0.05), SteppedSource.PlateRail, Rails)]).Value!;
        var (line, read) = (surface.Line(-0.5, 401), surface.AtDrive(-0.5));
        Assert.Equal(Rails.Length, read.Count);
        Assert.Equal(read[0].PlateVolts, line[0].PlateVolts, 1e-9);
        Assert.Equal(read[^1].PlateVolts, line[^1].PlateVolts, 1e-9);
        foreach (var point in read) Assert.Equal(point.PlateAmps, line.MinBy(p => Math.Abs(p.PlateVolts - point.PlateVolts)).PlateAmps, 2e-5);
    }

    [Fact]
    public void A_load_line_meets_the_surface_where_the_prediction_says()
    {
        var surface = PlateSurface.Of([Run(With(ConnectionKind.Triode, 10_000), 1, Analysis.Tests.Curves.Even(-4, 0, 0.05), SteppedSource.PlateRail, Rails)]).Value!;
        var line = new LoadLine(new(26), new(22_000));
        var predicted = surface.Predict(line).Value!;
        var at = Array.FindIndex(predicted.Drive, d => Math.Abs(d + 0.5) < 1e-9);
        Assert.Equal((predicted.Plate[at], predicted.PlateUncertainty[at]), surface.Meeting(-0.5, line));
        Assert.Null(surface.Meeting(-0.5, new(new(55), new(10_000))));
    }
}
