using System.Globalization;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Outside;

/// <summary>The fixture solver beside ngspice (Debian package of that name), which gets the formulas and solves them in its own way.</summary>
[Trait("needs", "ngspice")]
public sealed class NgspiceTests : IDisposable
{
    private const int Points = 50;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sweeprig-ngspice-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Theory]
    [InlineData("6AU6", ConnectionKind.Pentode)]
    [InlineData("6AU6", ConnectionKind.Triode)]
    [InlineData("6BH6", ConnectionKind.Pentode)]
    [InlineData("weak", ConnectionKind.Triode)]
    public async Task All_nodes_agree_within_a_millivolt(string name, ConnectionKind kind)
    {
        var parameters = TypeCatalogue.BuiltIn.Find(name)?.Example ?? ExampleTubes.Weak6AU6;
        var model = new TubeModel(parameters, new Volts(6.3));
        var connection = Connections.With(kind, 28, 10e3, 100, 4.7e3);
        const double from = -14, to = 26;

        var result = Path.Combine(_folder.FullName, "nodes.txt");
        var netlist = Path.Combine(_folder.FullName, Ngspice.DeckName);
        await File.WriteAllTextAsync(netlist, SpiceNetlist.Write(model, connection, from, to, Points, result), TestContext.Current.CancellationToken);
        var said = await Ngspice.SaidAsync(_folder.FullName, TestContext.Current.CancellationToken);

        Assert.True(File.Exists(result), said);
        var rows = (await File.ReadAllLinesAsync(result, TestContext.Current.CancellationToken))
            .Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            .Where(cells => cells.Length > 0)
            .Select(cells => CheckData.Numbers(cells, 0))
            .ToArray();
        Assert.Equal(Points, rows.Length);
        var solver = new FixtureSolver(connection);
        for (var n = 0; n < Points; n++)
        {
            // One scale column, then the four voltages asked for.
            double[] found = rows[n][^4..];
            Assert.Equal(from + n * (to - from) / (Points - 1), found[0], 1e-9);
            var point = solver.Solve(model, found[0]);
            Assert.True(point.IsSolved);
            Near(point.Grid, found[1], "grid");
            Near(point.Screen, found[2], "screen");
            Near(point.Plate, found[3], "plate");

            void Near(double ours, double theirs, string node) => Assert.True(
                Math.Abs(ours - theirs) < 1e-3,
                string.Create(CultureInfo.InvariantCulture, $"{node} at drive {found[0]:0.###} V: ours {ours:R} V, ngspice {theirs:R} V"));
        }
    }
}
