using System.Runtime.CompilerServices;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Fixture;

/// <summary>
/// Kirchhoff's equations of the fixture, each multiplied by its resistance so that 0 ohm needs no special case:
/// F = V - source + R I(V) = 0 for grid, screen and plate. In triode connection the screen row vanishes and the plate row takes the sum of the currents.
/// </summary>
internal readonly struct FixtureEquations(TubeModel tube, bool triode, double drive, double rail, double gridOhms, double screenOhms, double plateOhms)
{
    // A balance to 1e-13 of the voltages in the loop is a few hundred units in the last place: beyond any measurement, within reach of rounding.
    private const double Balance = 1e-13;

    // Loops in which every voltage is near 0 are judged as if 10 mV were in them.
    private const double SmallLoop = 0.01;

    public bool Triode => triode;
    public double Drive => drive;
    public double Rail => rail;
    public double GridOhms => gridOhms;

    public readonly record struct Residual(double Grid, double Screen, double Plate)
    {
        public double Square => Grid * Grid + Screen * Screen + Plate * Plate;
    }

    public TubeCurrents Currents(double grid, double screen, double plate, out TubeConductances conductances) =>
        tube.Evaluate(grid, triode ? plate : screen, plate, out conductances);

    public Residual At(double grid, double screen, double plate, in TubeCurrents i) => triode
        ? new(grid - drive + gridOhms * i.Grid, 0, plate - rail + plateOhms * (i.Plate + i.Screen))
        : new(grid - drive + gridOhms * i.Grid, screen - rail + screenOhms * i.Screen, plate - rail + plateOhms * i.Plate);

    public bool Balanced(in Residual f, double grid, double screen, double plate, in TubeCurrents i)
    {
        var plateDrop = plateOhms * (triode ? i.Plate + i.Screen : i.Plate);
        return Math.Abs(f.Grid) <= Balance * (SmallLoop + Math.Abs(grid) + Math.Abs(drive) + Math.Abs(gridOhms * i.Grid))
            && Math.Abs(f.Plate) <= Balance * (SmallLoop + Math.Abs(plate) + rail + Math.Abs(plateDrop))
            && (triode || Math.Abs(f.Screen) <= Balance * (SmallLoop + Math.Abs(screen) + rail + Math.Abs(screenOhms * i.Screen)));
    }

    /// <summary>Solves J x = f for the Newton step; false when J is singular to working precision.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Step(in TubeConductances g, in Residual f, out double grid, out double screen, out double plate)
    {
        if (triode)
        {
            double a = 1 + gridOhms * g.GridByGrid, b = gridOhms * (g.GridByScreen + g.GridByPlate);
            double c = plateOhms * (g.ScreenByGrid + g.PlateByGrid);
            var d = 1 + plateOhms * (g.ScreenByScreen + g.ScreenByPlate + g.PlateByScreen + g.PlateByPlate);
            var det = a * d - b * c;
            grid = (f.Grid * d - b * f.Plate) / det;
            plate = (a * f.Plate - c * f.Grid) / det;
            screen = plate;
        }
        else
        {
            double m11 = 1 + gridOhms * g.GridByGrid, m12 = gridOhms * g.GridByScreen, m13 = gridOhms * g.GridByPlate;
            double m21 = screenOhms * g.ScreenByGrid, m22 = 1 + screenOhms * g.ScreenByScreen, m23 = screenOhms * g.ScreenByPlate;
            double m31 = plateOhms * g.PlateByGrid, m32 = plateOhms * g.PlateByScreen, m33 = 1 + plateOhms * g.PlateByPlate;
            double c1 = m22 * m33 - m23 * m32, c2 = m23 * m31 - m21 * m33, c3 = m21 * m32 - m22 * m31;
            var det = m11 * c1 + m12 * c2 + m13 * c3;
            grid = (f.Grid * c1 + f.Screen * (m13 * m32 - m12 * m33) + f.Plate * (m12 * m23 - m13 * m22)) / det;
            screen = (f.Grid * c2 + f.Screen * (m11 * m33 - m13 * m31) + f.Plate * (m13 * m21 - m11 * m23)) / det;
            plate = (f.Grid * c3 + f.Screen * (m12 * m31 - m11 * m32) + f.Plate * (m11 * m22 - m12 * m21)) / det;
        }
        return double.IsFinite(grid) && double.IsFinite(screen) && double.IsFinite(plate);
    }
}
