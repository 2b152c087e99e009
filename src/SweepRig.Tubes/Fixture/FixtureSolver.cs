using System.Globalization;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Fixture;

/// <summary>Node voltages of one tube in its fixture for a given drive, in pentode or triode connection.</summary>
/// <remarks>
/// <para>The equations are V - source + R I(V) = 0 for grid, screen and plate. Damped Newton with the analytic Jacobian J = 1 + R dI/dV:
/// the step is halved until the sum of squares has fallen. It converges because each electrode current rises with the electrode's own voltage, alone and with
/// the other electrodes free behind their resistors: without gas and with resistors up to 1 Mohm all principal minors of J are positive (a property test
/// looks for counter-examples). Then J is nowhere singular, so that every Newton step points downhill; the balance is unique (Gale and Nikaido 1965,
/// Math. Annalen 159, 81, from memory); and far voltages make large residuals, so that the steps stay in a bounded region.</para>
/// <para>Gas makes the grid feed its own current: with a grid stopper above about 1/(gas ratio times transconductance) a real tube, too, has more than one
/// balance, and the one reached may depend on the start.</para>
/// <para>Should rounding stop it, plate, screen and grid are balanced by nested brackets, which need only continuity and a change of
/// sign, and Newton polishes the result. If the balance still is not met the status says <see cref="FixtureStatus.Unsolved"/>.</para>
/// <para>Holds no state: one solver may be used from several threads. Nothing is allocated.</para>
/// </remarks>
public sealed class FixtureSolver
{
    /// <summary>Largest drive and rail, either sign, that is accepted. Unit: V. Above any use of the model, far below any overflow.</summary>
    public const double MostVolts = 1000;

    private const int MostNewtonSteps = 60;
    private const int MostHalvings = 30;

    private readonly bool _triode;
    private readonly double _gridOhms, _screenOhms, _plateOhms;

    /// <exception cref="ArgumentException">A resistor is negative or above 1 Gohm, or the plate rail is outside 0 V to <see cref="MostVolts"/>.</exception>
    public FixtureSolver(Connection connection)
    {
        ArgumentNullException.ThrowIfNull(connection);
        _triode = connection.Kind == ConnectionKind.Triode;
        _gridOhms = Resistance("grid stopper", connection.GridStopper.Value);
        _screenOhms = Resistance("screen resistor", connection.ScreenResistor.Value);
        _plateOhms = Resistance("plate resistor", connection.PlateResistor.Value);
        RequireVoltage("plate rail", connection.PlateRail.Value, 0);
        Connection = connection;
    }

    public Connection Connection { get; }

    /// <summary>Solves at the connection's own plate rail, from no start value.</summary>
    /// <param name="tube">The tube at its momentary temperature.</param>
    /// <param name="drive">Voltage before the grid stopper. Unit: V.</param>
    /// <exception cref="ArgumentOutOfRangeException">The drive is no number or beyond <see cref="MostVolts"/>.</exception>
    public FixturePoint Solve(TubeModel tube, double drive) => Solve(tube, drive, Connection.PlateRail.Value);

    /// <summary>Solves at another plate rail, from no start value.</summary>
    /// <param name="tube">The tube at its momentary temperature.</param>
    /// <param name="drive">Voltage before the grid stopper. Unit: V.</param>
    /// <param name="plateRail">Unit: V, 0 or above.</param>
    /// <exception cref="ArgumentOutOfRangeException">Drive or rail is no number or beyond <see cref="MostVolts"/>.</exception>
    public FixturePoint Solve(TubeModel tube, double drive, double plateRail) => Solve(tube, drive, plateRail, default);

    /// <summary>Solves with an earlier point as a start: quick when drive, rail and temperature have changed little. The result does not depend on the start beyond rounding.</summary>
    /// <param name="tube">The tube at its momentary temperature.</param>
    /// <param name="drive">Voltage before the grid stopper. Unit: V.</param>
    /// <param name="plateRail">Unit: V, 0 or above.</param>
    /// <param name="start">Any earlier point; one that is not solved is passed over.</param>
    /// <exception cref="ArgumentOutOfRangeException">Drive or rail is no number or beyond <see cref="MostVolts"/>.</exception>
    public FixturePoint Solve(TubeModel tube, double drive, double plateRail, in FixturePoint start)
    {
        ArgumentNullException.ThrowIfNull(tube);
        RequireVoltage("drive", drive, -MostVolts);
        RequireVoltage("plate rail", plateRail, 0);
        var equations = new FixtureEquations(tube, _triode, drive, plateRail, _gridOhms, _screenOhms, _plateOhms);
        var point = start.IsSolved
            ? Newton(equations, start.Grid, start.Screen, start.Plate)
            : Newton(equations, FirstGrid(drive), plateRail, _triode ? 0.3 * plateRail : 0.5 * plateRail);
        return point.IsSolved ? point : SolveByBrackets(equations, point);
    }

    /// <summary>The slow way alone, for checks that it agrees with the quick one.</summary>
    internal FixturePoint SolveByBrackets(TubeModel tube, double drive, double plateRail) => SolveByBrackets(
        new FixtureEquations(tube, _triode, drive, plateRail, _gridOhms, _screenOhms, _plateOhms), default);

    private static FixturePoint SolveByBrackets(in FixtureEquations equations, in FixturePoint failed)
    {
        var lowest = Math.Min(0, equations.Drive) - 1;
        var highest = Math.Max(equations.Rail, equations.Drive) + 1;
        var search = new NestedSearch(equations, lowest, highest);
        var found = search.TryFind(out var grid, out var screen, out var plate);
        var spent = failed.Evaluations + search.Evaluations;
        if (!found) return failed with { Status = FixtureStatus.Unsolved, Evaluations = spent };
        var point = Newton(equations, grid, screen, plate);
        return point with { Evaluations = spent + point.Evaluations };
    }

    // Behind a stopper the conducting grid stays within a few volts of the cathode; without one the first step corrects it.
    private double FirstGrid(double drive) => _gridOhms == 0 ? drive : Math.Min(drive, 1);

    private static FixturePoint Newton(in FixtureEquations equations, double grid, double screen, double plate)
    {
        var evaluations = 1;
        var currents = equations.Currents(grid, screen, plate, out var conductances);
        var residual = equations.At(grid, screen, plate, currents);
        var solved = equations.Balanced(residual, grid, screen, plate, currents);
        for (var n = 0; n < MostNewtonSteps && !solved; n++)
        {
            if (!equations.Step(conductances, residual, out var gridStep, out var screenStep, out var plateStep)) break;
            var moved = false;
            var part = 1.0;
            for (var halving = 0; halving < MostHalvings && !moved; halving++, part *= 0.5)
            {
                double g = grid - part * gridStep, s = screen - part * screenStep, p = plate - part * plateStep;
                var i = equations.Currents(g, s, p, out var c);
                evaluations++;
                var f = equations.At(g, s, p, i);
                solved = equations.Balanced(f, g, s, p, i);
                // Armijo's rule with the customary small constant; a full Newton step would bring the square to 0.
                moved = solved || f.Square <= (1 - 1e-4 * part) * residual.Square;
                if (moved) (grid, screen, plate, currents, conductances, residual) = (g, s, p, i, c, f);
            }
            if (!moved) break;
        }
        return new(
            solved ? FixtureStatus.Solved : FixtureStatus.Unsolved,
            grid, equations.Triode ? plate : screen, plate, currents.Grid, currents.Screen, currents.Plate, evaluations);
    }

    private static double Resistance(string name, double ohms) => ohms is >= 0 and <= 1e9
        ? ohms
        : throw new ArgumentException(string.Create(CultureInfo.InvariantCulture, $"The {name} is {ohms} ohm; allowed is 0 ohm to 1 Gohm. Correct the connection."));

    private static void RequireVoltage(string name, double volts, double lowest)
    {
        if (volts >= lowest && volts <= MostVolts) return;
        throw new ArgumentOutOfRangeException(name, volts, string.Create(CultureInfo.InvariantCulture,
            $"The {name} is {volts} V; allowed is {lowest} V to {MostVolts} V. Correct the {name}."));
    }
}
