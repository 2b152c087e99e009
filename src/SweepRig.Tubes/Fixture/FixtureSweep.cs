using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Fixture;

/// <summary>
/// Node voltages of one tube in its fixture at many drives together, with their derivatives by the constants of the tube, the resistors, drive and rail. Made for
/// fits: each solution starts from the one before.
/// </summary>
/// <remarks>
/// Newton's method on all points side by side; a point that does not settle is left to <see cref="FixtureSolver"/>. Derivatives by the implicit function theorem: with
/// F(V, c) = V - source + R I(V, c) = 0 and J = 1 + R dI/dV, dV/dc = -J^-1 R dI/dc. Holds state: one sweep for one thread.
/// </remarks>
public sealed class FixtureSweep
{
    // A step this short leaves an error of its square over the thermal voltage: below rounding.
    private const double Settled = 1e-7;

    private const int MostSteps = 12;

    private readonly bool _triode;
    private readonly Connection _connection;
    private readonly TubeColumns _columns;
    private readonly TubeSensitivities _sensitivities;
    private readonly double[][] _inverse;
    private bool _hasStart;

    /// <param name="connection">Kind and resistors.</param>
    /// <param name="drive">Voltage before the grid stopper at each point. Unit: V.</param>
    /// <param name="rail">Plate rail at each point, same length. Unit: V.</param>
    /// <exception cref="ArgumentException">Lengths differ.</exception>
    public FixtureSweep(Connection connection, ReadOnlySpan<double> drive, ReadOnlySpan<double> rail)
    {
        ArgumentNullException.ThrowIfNull(connection);
        if (drive.Length != rail.Length) throw new ArgumentException($"Given are {drive.Length} drives and {rail.Length} rails; give one of each for each point.");
        _connection = connection;
        _triode = connection.Kind == ConnectionKind.Triode;
        (GridOhms, ScreenOhms, PlateOhms) = (connection.GridStopper.Value, connection.ScreenResistor.Value, connection.PlateResistor.Value);
        (Drive, Rail) = (drive.ToArray(), rail.ToArray());
        (Grid, Screen, Plate) = (new double[Count], new double[Count], new double[Count]);
        _columns = new(Count);
        _sensitivities = new(Count);
        _inverse = [.. Enumerable.Range(0, 9).Select(_ => new double[Count])];
    }

    public int Count => Drive.Length;

    /// <summary>May be changed between solutions.</summary>
    public double[] Drive { get; }

    /// <summary>May be changed between solutions.</summary>
    public double[] Rail { get; }

    public double GridOhms { get; set; }
    public double ScreenOhms { get; set; }
    public double PlateOhms { get; set; }

    /// <summary>Voltages of the last solution; the screen is the plate in triode connection. Unit: V.</summary>
    public double[] Grid { get; }
    public double[] Screen { get; }
    public double[] Plate { get; }

    /// <summary>Fills the node voltages.</summary>
    /// <returns>False when a point has no solution within the range of the model.</returns>
    public bool Solve(TubeModel tube)
    {
        ArgumentNullException.ThrowIfNull(tube);
        if (!_hasStart && !SolveSingly(tube)) return false;
        _hasStart = true;
        for (var n = 0; n < MostSteps; n++)
        {
            tube.EvaluateMany(Grid, Screen, Plate, _columns);
            var step = Step(tube);
            if (step <= Settled) return true;
            // Written so that NaN gets out too.
            if (!(step < 100)) break;
        }
        return _hasStart = SolveSingly(tube);
    }

    /// <summary>Prepares the derivatives at the last solution; it must be of this very tube.</summary>
    public void Differentiate(TubeModel tube)
    {
        ArgumentNullException.ThrowIfNull(tube);
        tube.EvaluateWithSensitivities(Grid, Screen, Plate, _columns, _sensitivities);
        for (var i = 0; i < Count; i++) Invert(i);
    }

    /// <summary>Derivatives of the node voltages by a coordinate of the tube (see <see cref="TubeCoordinates"/>), after <see cref="Differentiate"/>.</summary>
    public void By(TubeParameter parameter, Span<double> grid, Span<double> screen, Span<double> plate)
    {
        double[] g = _sensitivities.Grid[(int)parameter], s = _sensitivities.Screen[(int)parameter], p = _sensitivities.Plate[(int)parameter];
        if (_triode)
            for (var i = 0; i < Count; i++) Put(i, -GridOhms * g[i], 0, -PlateOhms * (s[i] + p[i]), grid, screen, plate);
        else
            for (var i = 0; i < Count; i++) Put(i, -GridOhms * g[i], -ScreenOhms * s[i], -PlateOhms * p[i], grid, screen, plate);
    }

    /// <summary>By a common change of all drives. Dimensionless.</summary>
    public void ByDrive(Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < Count; i++) Put(i, 1, 0, 0, grid, screen, plate);
    }

    /// <summary>By a common change of all rails. Dimensionless.</summary>
    public void ByRail(Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < Count; i++) Put(i, 0, _triode ? 0 : 1, 1, grid, screen, plate);
    }

    /// <summary>By the logarithm of the grid stopper. Unit: V.</summary>
    public void ByGridOhms(Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < Count; i++) Put(i, -GridOhms * _columns.Grid[i], 0, 0, grid, screen, plate);
    }

    /// <summary>By the logarithm of the screen resistor. Unit: V.</summary>
    public void ByScreenOhms(Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < Count; i++) Put(i, 0, _triode ? 0 : -ScreenOhms * _columns.Screen[i], 0, grid, screen, plate);
    }

    /// <summary>By the logarithm of the plate resistor. Unit: V.</summary>
    public void ByPlateOhms(Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < Count; i++) Put(i, 0, 0, -PlateOhms * (_triode ? _columns.Screen[i] + _columns.Plate[i] : _columns.Plate[i]), grid, screen, plate);
    }

    private void Put(int i, double fromGrid, double fromScreen, double fromPlate, Span<double> grid, Span<double> screen, Span<double> plate)
    {
        grid[i] = _inverse[0][i] * fromGrid + _inverse[1][i] * fromScreen + _inverse[2][i] * fromPlate;
        screen[i] = _inverse[3][i] * fromGrid + _inverse[4][i] * fromScreen + _inverse[5][i] * fromPlate;
        plate[i] = _inverse[6][i] * fromGrid + _inverse[7][i] * fromScreen + _inverse[8][i] * fromPlate;
    }

    private FixtureEquations Equations(TubeModel tube, int i) => new(tube, _triode, Drive[i], Rail[i], GridOhms, ScreenOhms, PlateOhms);

    private TubeCurrents Currents(int i) => new(_columns.Grid[i], _columns.Screen[i], _columns.Plate[i]);

    private TubeConductances Conductances(int i) => new(
        _columns.GridByGrid[i], _columns.GridByScreen[i], _columns.GridByPlate[i], _columns.ScreenByGrid[i], _columns.ScreenByScreen[i],
        _columns.ScreenByPlate[i], _columns.PlateByGrid[i], _columns.PlateByScreen[i], _columns.PlateByPlate[i]);

    // One Newton step of every point; the longest of them.
    private double Step(TubeModel tube)
    {
        double longest = 0;
        for (var i = 0; i < Count; i++)
        {
            var equations = Equations(tube, i);
            var residual = equations.At(Grid[i], Screen[i], Plate[i], Currents(i));
            if (!equations.Step(Conductances(i), residual, out var grid, out var screen, out var plate)) return double.NaN;
            Grid[i] -= grid;
            Screen[i] -= screen;
            Plate[i] -= plate;
            if (_triode) Screen[i] = Plate[i];
            longest = Math.Max(longest, Math.Max(Math.Abs(grid), Math.Max(Math.Abs(screen), Math.Abs(plate))));
        }
        return longest;
    }

    private void Invert(int i)
    {
        // Columns of the inverse are the steps that unit residuals call for.
        var equations = new FixtureEquations(null!, _triode, 0, 0, GridOhms, ScreenOhms, PlateOhms);
        var conductances = Conductances(i);
        for (var k = 0; k < 3; k++)
        {
            equations.Step(conductances, new(k == 0 ? 1 : 0, k == 1 ? 1 : 0, k == 2 ? 1 : 0), out var grid, out var screen, out var plate);
            (_inverse[k][i], _inverse[3 + k][i], _inverse[6 + k][i]) = (grid, screen, plate);
        }
    }

    // From nothing, or where the points side by side do not settle: each by the sure way, starting from its neighbour.
    private bool SolveSingly(TubeModel tube)
    {
        var solver = new FixtureSolver(_connection with { GridStopper = new(GridOhms), ScreenResistor = new(ScreenOhms), PlateResistor = new(PlateOhms) });
        FixturePoint point = default;
        for (var i = 0; i < Count; i++)
        {
            var start = i > 0 && Math.Abs(Drive[i] - Drive[i - 1]) < 1 ? point : default;
            point = solver.Solve(tube, Drive[i], Rail[i], start);
            if (!point.IsSolved) return false;
            (Grid[i], Screen[i], Plate[i]) = (point.Grid, point.Screen, point.Plate);
        }
        return true;
    }
}
