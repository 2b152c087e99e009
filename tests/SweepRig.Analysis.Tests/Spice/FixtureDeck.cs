using System.Globalization;
using System.Text;
using SweepRig.Analysis.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Spice;

/// <summary>Many fixtures in one deck, each with an exported subcircuit, solved by the simulator and by <see cref="FixtureSolver"/>.</summary>
public static class FixtureDeck
{
    /// <summary>What the head of an exported tube advises: the customary 1e-3 lets a node stop some millivolts off.</summary>
    public const string Tight = ".options reltol=1e-6\n";

    public static readonly SpiceProvenance Provenance = new("tube of a check", "made for the check");

    /// <param name="Drive">Its own drive; null for the common one that is swept. Unit: V.</param>
    public sealed record Placed(TubeModel Tube, Connection Connection, double? Drive = null);

    /// <param name="Worst">Largest difference of any node voltage. Unit: V.</param>
    /// <param name="Where">Which.</param>
    /// <param name="Points">Fixture points compared.</param>
    public sealed record Agreement(double Worst, string Where, int Points, Ngspice.Answer Answer);

    public static Connection With(ConnectionKind kind, double rail, double plateOhms, double screenOhms, double gridOhms) => new(
        kind, new Volts(rail), new Volts(-14), new Volts(6.3), new Ohms(plateOhms), new Ohms(screenOhms), new Ohms(gridOhms));

    /// <summary>Sweeps the common drive and compares grid, screen and plate of each fixture at each drive.</summary>
    /// <param name="options">Empty for the simulator's own tolerances.</param>
    public static async Task<Agreement> CompareAsync(IReadOnlyList<Placed> fixtures, double from, double to, int points, CancellationToken cancel, string options = Tight)
    {
        var answer = await Ngspice.RunAsync(
            Deck(fixtures, options),
            string.Create(CultureInfo.InvariantCulture, $"dc Vdrive {from} {to} {(points > 1 ? (to - from) / (points - 1) : 1)}"),
            fixtures.SelectMany((f, n) => (string[])[$"v(g{n})", f.Connection.Kind == ConnectionKind.Triode ? $"v(p{n})" : $"v(s{n})", $"v(p{n})"]),
            cancel);
        if (answer.Rows.Length != points) throw new InvalidOperationException($"{points} points were asked for, {answer.Rows.Length} came. ngspice said: {answer.Said}");
        double worst = 0;
        var where = "";
        foreach (var row in answer.Rows)
        {
            for (var n = 0; n < fixtures.Count; n++)
            {
                var fixture = fixtures[n];
                var drive = fixture.Drive ?? row[0];
                var point = new FixtureSolver(fixture.Connection).Solve(fixture.Tube, drive);
                if (!point.IsSolved) throw new InvalidOperationException($"SweepRig bug: fixture {n} was not solved at {drive} V.");
                var apart = Math.Max(Math.Abs(point.Grid - row[1 + 3 * n]), Math.Max(Math.Abs(point.Screen - row[2 + 3 * n]), Math.Abs(point.Plate - row[3 + 3 * n])));
                // Written so that NaN counts as the worst.
                if (apart <= worst) continue;
                worst = apart;
                where = string.Create(CultureInfo.InvariantCulture, $"fixture {n} at drive {drive:0.###} V: {apart:0.0e0} V");
            }
        }
        return new(worst, where, points * fixtures.Count, answer);
    }

    private static string Deck(IReadOnlyList<Placed> fixtures, string options)
    {
        var text = new StringBuilder("* exported subcircuits in their fixtures\n");
        var tubes = fixtures.Select(f => f.Tube).Distinct().ToList();
        for (var n = 0; n < tubes.Count; n++) text.Append(TubeSubcircuit.Write(tubes[n], $"tube{n}", Provenance).Text);
        text.Append("Vdrive drive 0 0\n").Append(options);
        for (var n = 0; n < fixtures.Count; n++)
        {
            var (tube, connection, drive) = fixtures[n];
            var name = $"tube{tubes.IndexOf(tube)}";
            if (drive is { } own) Line($"Vd{n} d{n} 0 {own:R}");
            Line($"Vr{n} r{n} 0 {connection.PlateRail.Value:R}");
            Line($"Rg{n} {(drive is null ? "drive" : $"d{n}")} g{n} {connection.GridStopper.Value:R}");
            Line($"Rp{n} r{n} p{n} {connection.PlateResistor.Value:R}");
            if (connection.Kind == ConnectionKind.Triode)
            {
                Line($"X{n} p{n} g{n} 0 {name}_triode");
            }
            else
            {
                Line($"Rs{n} r{n} s{n} {connection.ScreenResistor.Value:R}");
                Line($"X{n} p{n} s{n} g{n} 0 {name}");
            }
        }
        return text.ToString();

        void Line(FormattableString line) => text.Append(FormattableString.Invariant(line)).Append('\n');
    }
}
