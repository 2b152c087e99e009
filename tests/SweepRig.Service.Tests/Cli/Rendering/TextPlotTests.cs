using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Tests.Cli.Rendering;

public sealed class TextPlotTests
{
    [Fact]
    public void Braille_dots_stand_where_the_standard_has_them()
    {
        // The Unicode Standard, chapter 21.1: U+2800 plus bits for dots 1 to 8; dots 1 2 3 7 run down the left column, 4 5 6 8 down the right.
        var canvas = new BrailleCanvas(3, 1);
        canvas.Dot(0, 0);
        canvas.Line(2, 0, 2, 3);
        canvas.Dot(5, 3);
        Assert.Equal("\u2801\u2847\u2880", canvas.Row(0));
    }

    [Fact]
    public void A_dot_outside_is_left_out()
    {
        var canvas = new BrailleCanvas(1, 1);
        canvas.Line(-5, -5, 10, 10);
        canvas.Dot(2, 0);
        // Dots 1 and 5, the diagonal of the one cell.
        Assert.Equal("\u2811", canvas.Row(0));
    }

    [Fact]
    public void A_falling_line_is_drawn_with_axes_and_units()
    {
        var lines = TextPlot.Lines([Curve([-14, 24], [28, 5])], 40);

        Assert.Equal("""
            output / V over drive / V
            30 ┤⡀
               │⠈⠑⠢⢄
            25 ┤    ⠉⠒⠤⣀
               │        ⠑⠢⢄⡀
            20 ┤           ⠈⠒⠤⣀
               │               ⠉⠢⢄⡀
            15 ┤                  ⠈⠑⠤⣀
               │                      ⠉⠒⢄⡀
            10 ┤                         ⠈⠑⠢⣀
               │                             ⠉⠒⠤⡀
             5 ┤                                ⠈⠑⠢⢄
               │
             0 ┤
               └────┬───┬────┬────┬───┬────┬───┬────
                   -10  -5   0    5   10   15  20
            """.ReplaceLineEndings("\n"), string.Join('\n', lines));
    }

    [Fact]
    public void A_missing_point_breaks_the_line()
    {
        var whole = TextPlot.Lines([Curve([0, 1, 2, 3, 4], [4, 4, 4, 4, 4])], 60);
        var broken = TextPlot.Lines([Curve([0, 1, null, 3, 4], [4, 4, null, 4, 4])], 60);

        Assert.DoesNotContain(' ', Inked(whole).Trim());
        Assert.Contains(' ', Inked(broken).Trim());
    }

    [Fact]
    public void Nothing_to_draw_is_said()
    {
        Assert.Equal(["No points to draw."], TextPlot.Lines([], 60));
        Assert.Equal(["No points to draw."], TextPlot.Lines([Curve([null, null], [null, null])], 60));
    }

    [Theory]
    [InlineData(0, 28, 6, "0 5 10 15 20 25 30")]
    [InlineData(0, 0.83, 6, "0.0 0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8 0.9")]
    [InlineData(-14, 24, 6, "-15 -10 -5 0 5 10 15 20 25")]
    [InlineData(5, 5, 4, "4.4 4.6 4.8 5.0 5.2 5.4 5.6")]
    public void Ticks_are_round(double low, double high, int intervals, string expected)
    {
        var axis = Axis.Over([low, high, null, double.NaN], intervals, roundEnds: true);
        Assert.Equal(expected, string.Join(' ', axis.Ticks.Select(axis.Text)));
    }

    [Fact]
    public void No_line_is_wider_than_asked()
    {
        foreach (var width in new[] { 60, 80, 100 })
            foreach (var line in TextPlot.Lines([Curve([-14, 0, 24], [28, 27, 5])], width))
                Assert.True(line.Length <= width, line);
    }

    private static string Inked(IEnumerable<string> lines) => lines.First(l => l.Any(c => c is >= '\u2801' and <= '\u28ff'))[4..];

    private static CurveView Curve(double?[] drive, double?[] plate)
    {
        var none = new double?[drive.Length];
        return new(new PassView(0, "up", drive.Length, 0, null), drive, plate, none, none, none, none, none, none, none)
        {
            DriveUncertainty = none, GridUncertainty = none, ScreenUncertainty = none, SupplyUncertainty = none,
            GridCurrentUncertainty = none, ScreenCurrentUncertainty = none, PlateCurrentUncertainty = none,
        };
    }
}
