using System.Numerics;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>A tube straight on from a point, one in each lane: currents there, what is left of them at no voltage, and their derivatives. Voltages are against the cathode. Units: A, S.</summary>
internal readonly struct LaneTangent
{
    // What may be left out of a current: through the highest resistance of a usual network, some hundred kilohms, a tenth of a microvolt.
    private const double SmallAmps = 1e-12;

    private readonly Vector<double> _grid, _screen, _plate;

    /// <param name="i">Filled by the bank at these voltages.</param>
    /// <param name="at">The first place of the tube.</param>
    public LaneTangent(TubeColumns i, int at, Vector<double> grid, Vector<double> screen, Vector<double> plate)
    {
        (_grid, _screen, _plate) = (new(i.Grid, at), new(i.Screen, at), new(i.Plate, at));
        (GridByGrid, GridByScreen, GridByPlate) = (new(i.GridByGrid, at), new(i.GridByScreen, at), new(i.GridByPlate, at));
        (ScreenByGrid, ScreenByScreen, ScreenByPlate) = (new(i.ScreenByGrid, at), new(i.ScreenByScreen, at), new(i.ScreenByPlate, at));
        (PlateByGrid, PlateByScreen, PlateByPlate) = (new(i.PlateByGrid, at), new(i.PlateByScreen, at), new(i.PlateByPlate, at));
        Grid = _grid - GridByGrid * grid - GridByScreen * screen - GridByPlate * plate;
        Screen = _screen - ScreenByGrid * grid - ScreenByScreen * screen - ScreenByPlate * plate;
        Plate = _plate - PlateByGrid * grid - PlateByScreen * screen - PlateByPlate * plate;
    }

    /// <summary>Left of the currents at no voltage.</summary>
    public Vector<double> Grid { get; }

    public Vector<double> Screen { get; }

    public Vector<double> Plate { get; }

    public Vector<double> GridByGrid { get; }

    public Vector<double> GridByScreen { get; }

    public Vector<double> GridByPlate { get; }

    public Vector<double> ScreenByGrid { get; }

    public Vector<double> ScreenByScreen { get; }

    public Vector<double> ScreenByPlate { get; }

    public Vector<double> PlateByGrid { get; }

    public Vector<double> PlateByScreen { get; }

    public Vector<double> PlateByPlate { get; }

    /// <summary>Whether the tube need not be looked at again at these voltages, in any lane.</summary>
    /// <remarks>A current that goes with exp(x) leaves its tangent by no more than 1.1 x^2 of itself up to x = 2, and no current of a tube bends more sharply than that.</remarks>
    public bool Says(Vector<double> grid, Vector<double> screen, Vector<double> plate) =>
        Straight(_grid, Grid + GridByGrid * grid + GridByScreen * screen + GridByPlate * plate)
        && Straight(_screen, Screen + ScreenByGrid * grid + ScreenByScreen * screen + ScreenByPlate * plate)
        && Straight(_plate, Plate + PlateByGrid * grid + PlateByScreen * screen + PlateByPlate * plate);

    private static bool Straight(Vector<double> here, Vector<double> there)
    {
        var (apart, size) = (Vector.Abs(there - here), Vector.Abs(here));
        return Vector.LessThanOrEqualAll(apart * apart, size * SmallAmps) && Vector.LessThanOrEqualAll(apart, size + size);
    }
}
