using System.Numerics;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>A tube at its nominal voltages in a row of a table, alike in all lanes: its tangent there, and how it bends away from it. Immutable.</summary>
internal sealed class LaneStart
{
    // Derivatives are differenced over this: small beside kT/e, and their rounding stays far below what a start needs.
    private const double Step = 1e-4;

    private readonly double _grid, _screen, _plate;
    private readonly Bend _ofGrid, _ofScreen, _ofPlate;

    public LaneStart(TubeModel tube, double grid, double screen, double plate)
    {
        (_grid, _screen, _plate) = (grid, screen, plate);
        Tangent.Look(new(tube), new(grid), new(screen), new(plate));
        var (byGrid, byScreen, byPlate) = (Differences(tube, Step, 0, 0), Differences(tube, 0, Step, 0), Differences(tube, 0, 0, Step));
        _ofGrid = new(byGrid.GridByGrid, byGrid.GridByScreen, byGrid.GridByPlate, byScreen.GridByScreen, byScreen.GridByPlate, byPlate.GridByPlate);
        _ofScreen = new(byGrid.ScreenByGrid, byGrid.ScreenByScreen, byGrid.ScreenByPlate, byScreen.ScreenByScreen, byScreen.ScreenByPlate, byPlate.ScreenByPlate);
        _ofPlate = new(byGrid.PlateByGrid, byGrid.PlateByScreen, byGrid.PlateByPlate, byScreen.PlateByScreen, byScreen.PlateByPlate, byPlate.PlateByPlate);
    }

    public LaneTangent Tangent { get; } = new();

    /// <summary>By how much the currents leave the tangent at these voltages, to the second order. Unit: A.</summary>
    public void Leaves(Vector<double> grid, Vector<double> screen, Vector<double> plate, out Vector<double> gridAmps, out Vector<double> screenAmps, out Vector<double> plateAmps)
    {
        (grid, screen, plate) = (grid - new Vector<double>(_grid), screen - new Vector<double>(_screen), plate - new Vector<double>(_plate));
        Vector<double> gg = grid * grid, gs = grid * screen, gp = grid * plate, ss = screen * screen, sp = screen * plate, pp = plate * plate;
        gridAmps = _ofGrid.Times(gg, gs, gp, ss, sp, pp);
        screenAmps = _ofScreen.Times(gg, gs, gp, ss, sp, pp);
        plateAmps = _ofPlate.Times(gg, gs, gp, ss, sp, pp);
    }

    private TubeConductances Differences(TubeModel tube, double grid, double screen, double plate)
    {
        tube.Evaluate(_grid + grid, _screen + screen, _plate + plate, out var above);
        tube.Evaluate(_grid - grid, _screen - screen, _plate - plate, out var below);
        double Slope(double high, double low) => (high - low) / (2 * Step);
        return new(
            Slope(above.GridByGrid, below.GridByGrid), Slope(above.GridByScreen, below.GridByScreen), Slope(above.GridByPlate, below.GridByPlate),
            Slope(above.ScreenByGrid, below.ScreenByGrid), Slope(above.ScreenByScreen, below.ScreenByScreen), Slope(above.ScreenByPlate, below.ScreenByPlate),
            Slope(above.PlateByGrid, below.PlateByGrid), Slope(above.PlateByScreen, below.PlateByScreen), Slope(above.PlateByPlate, below.PlateByPlate));
    }

    /// <summary>Second derivatives of a current. Unit: A/V^2.</summary>
    private readonly record struct Bend(double GG, double GS, double GP, double SS, double SP, double PP)
    {
        public Vector<double> Times(Vector<double> gg, Vector<double> gs, Vector<double> gp, Vector<double> ss, Vector<double> sp, Vector<double> pp) =>
            0.5 * GG * gg + GS * gs + GP * gp + 0.5 * SS * ss + SP * sp + 0.5 * PP * pp;
    }
}
