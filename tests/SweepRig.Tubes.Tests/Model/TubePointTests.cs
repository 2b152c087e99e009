using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public class TubePointTests
{
    private static readonly Dictionary<string, TubeParameters> Tubes = new()
    {
        ["6AU6"] = ExampleTubes.Sound6AU6,
        ["6BH6"] = ExampleTubes.Sound6BH6,
        ["weak"] = ExampleTubes.Weak6AU6,
        ["sharp"] = ExampleTubes.Weak6AU6 with { GridSpaceSharpness = 3.5, PlateSpaceSharpness = 1.4, EmissionSharpness = 5 },
    };

    // Source: independent implementations, see data/README.md.
    [Theory]
    [InlineData("tube_points.csv", 59)]
    [InlineData("tube_points_50_digits.csv", 72)]
    public void Currents_agree_with_independent_implementations(string file, int rows)
    {
        var seen = 0;
        foreach (var row in CheckData.Rows(file))
        {
            var n = CheckData.Numbers(row, 1);
            var found = new TubeModel(Tubes[row[0]], new Volts(n[0])).Evaluate(n[1], n[2], n[3]);
            Agree(n[4], found.Grid, row);
            Agree(n[5], found.Screen, row);
            Agree(n[6], found.Plate, row);
            seen++;
        }
        Assert.Equal(rows, seen);
    }

    private static void Agree(double expected, double found, string[] row) => Assert.True(
        Math.Abs(found - expected) <= Math.Max(1e-9 * Math.Abs(expected), 1e-15),
        $"{string.Join(' ', row)}: expected {expected:R} A, found {found:R} A");
}
