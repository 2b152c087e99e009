using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Outside;

/// <summary>
/// Common practice, no source: what an ordinary small pentode does on a 24 V rail with a 10 kohm plate resistor, a 100 ohm screen resistor and a 4.7 kohm grid stopper.
/// </summary>
public class CommonPracticeTests
{
    public static TheoryData<string> Types => [.. TypeCatalogue.BuiltIn.All.Where(t => t.Example is not null).Select(t => t.Name)];

    public static TheoryData<string, ConnectionKind> All => [.. Types.SelectMany(t => Enum.GetValues<ConnectionKind>().Select(k => (t.Data, k)))];

    [Theory]
    [MemberData(nameof(All))]
    public void The_output_starts_at_the_rail(string type, ConnectionKind kind) => Assert.InRange(Output(type, kind, -12), 23.99, 24);

    [Theory]
    // Two types of ordinary slope: steeper ones are steeper.
    [InlineData("6AU6", ConnectionKind.Pentode)]
    [InlineData("6AU6", ConnectionKind.Triode)]
    [InlineData("6BH6", ConnectionKind.Pentode)]
    [InlineData("6BH6", ConnectionKind.Triode)]
    public void The_output_falls_smoothly_to_a_floor_of_about_5_V(string type, ConnectionKind kind)
    {
        var drives = Enumerable.Range(0, 801).Select(n => -12 + 0.02 * n).ToArray();
        var outputs = drives.Select(v => Output(type, kind, v)).ToArray();
        // From the point where leakage no longer rules down to the floor: falling all the way, no step between neighbours.
        var end = kind == ConnectionKind.Pentode ? Array.IndexOf(outputs, outputs.Min()) : outputs.Length - 1;
        for (var n = 451; n <= end; n++)
        {
            Assert.True(outputs[n] < outputs[n - 1], $"drive {drives[n]} V");
            Assert.True(outputs[n - 1] - outputs[n] < 0.5, $"drive {drives[n]} V");
        }
        Assert.InRange(outputs[end], 4.5, 5.5);
        Assert.All(outputs[..451], v => Assert.InRange(v, 23.9, 24));
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void The_pentode_rises_a_few_tenths_from_6_to_24_V_of_drive(string type)
    {
        var outputs = Enumerable.Range(0, 181).Select(n => Output(type, ConnectionKind.Pentode, 6 + 0.1 * n)).ToArray();
        for (var n = 1; n < outputs.Length; n++) Assert.True(outputs[n] > outputs[n - 1]);
        Assert.InRange(outputs[^1] - outputs[0], 0.1, 0.6);
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void The_triode_shows_no_such_rise_and_its_floor_lies_slightly_lower(string type)
    {
        var outputs = Enumerable.Range(0, 181).Select(n => Output(type, ConnectionKind.Triode, 6 + 0.1 * n)).ToArray();
        for (var n = 1; n < outputs.Length; n++) Assert.True(outputs[n] < outputs[n - 1]);
        var pentodeFloor = Enumerable.Range(0, 361).Min(n => Output(type, ConnectionKind.Pentode, -12 + 0.1 * n));
        Assert.InRange(pentodeFloor - outputs[^1], 0.05, 1);
    }

    [Theory]
    [MemberData(nameof(All))]
    public void At_full_drive_the_grid_acts_as_a_diode_and_stays_low(string type, ConnectionKind kind)
    {
        var point = Solve(type, kind, 24);
        Assert.InRange(point.Grid, 1, 4);
        Assert.InRange(point.GridCurrent, 4e-3, 5e-3);
    }

    [Fact]
    public void A_weak_tube_folds_back_less()
    {
        var solver = new FixtureSolver(Connections.Bench(ConnectionKind.Pentode));
        double Rise(TubeParameters tube)
        {
            var model = new TubeModel(tube, new Volts(6.3));
            return solver.Solve(model, 24).Plate - Enumerable.Range(0, 361).Min(n => solver.Solve(model, -12 + 0.1 * n).Plate);
        }
        Assert.InRange(Rise(ExampleTubes.Weak6AU6), 0, 0.3 * Rise(ExampleTubes.Sound6AU6));
    }

    private static double Output(string type, ConnectionKind kind, double drive) => Solve(type, kind, drive).Plate;

    private static FixturePoint Solve(string type, ConnectionKind kind, double drive)
    {
        var point = new FixtureSolver(Connections.Bench(kind)).Solve(new TubeModel(TypeCatalogue.BuiltIn.Find(type)!.Example!, new Volts(6.3)), drive);
        Assert.True(point.IsSolved);
        return point;
    }
}
