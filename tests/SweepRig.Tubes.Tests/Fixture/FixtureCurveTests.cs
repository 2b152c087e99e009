using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Fixture;

public class FixtureCurveTests
{
    // Source: an independent implementation, see data/README.md.
    [Theory]
    [InlineData("fixture_pentode.csv", ConnectionKind.Pentode)]
    [InlineData("fixture_triode.csv", ConnectionKind.Triode)]
    public void Nodes_agree_with_an_independent_implementation(string file, ConnectionKind kind)
    {
        var solver = new FixtureSolver(Connections.Bench(kind));
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var seen = 0;
        foreach (var n in CheckData.Rows(file).Select(row => CheckData.Numbers(row, 0)))
        {
            var point = solver.Solve(tube, n[0]);
            Assert.True(point.IsSolved, $"drive {n[0]:R} V");
            Assert.Equal(n[1], point.Plate, 1e-6);
            Assert.Equal(n[2], point.Grid, 1e-6);
            Assert.Equal(kind == ConnectionKind.Triode ? n[1] : n[3], point.Screen, 1e-6);
            seen++;
        }
        Assert.Equal(41, seen);
    }
}
