using System.Numerics;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>A tube straight on from the point where it was last looked at, one in each lane: currents there, what is left of them at no voltage, and their derivatives. Voltages are against the cathode. Units: A, S.</summary>
internal sealed class LaneTangent
{
    // What may be left out of a current: through the highest resistance of a usual network, some hundred kilohms, a tenth of a microvolt.
    private const double SmallAmps = 1e-12;

    private TubeLanes _at;

    /// <summary>Currents and derivatives at the point.</summary>
    public ref readonly TubeLanes At => ref _at;

    /// <summary>Left of the currents at no voltage.</summary>
    public Vector<double> Grid { get; private set; }

    public Vector<double> Screen { get; private set; }

    public Vector<double> Plate { get; private set; }

    /// <summary>Looks at a tube anew.</summary>
    public void Look(VariedTube tube, Vector<double> grid, Vector<double> screen, Vector<double> plate)
    {
        tube.Evaluate(grid, screen, plate, out _at);
        Grid = _at.Grid - _at.GridByGrid * grid - _at.GridByScreen * screen - _at.GridByPlate * plate;
        Screen = _at.Screen - _at.ScreenByGrid * grid - _at.ScreenByScreen * screen - _at.ScreenByPlate * plate;
        Plate = _at.Plate - _at.PlateByGrid * grid - _at.PlateByScreen * screen - _at.PlateByPlate * plate;
    }

    /// <summary>Whether the tube need not be looked at again at these voltages, in any lane.</summary>
    /// <remarks>A current that goes with exp(x) leaves its tangent by no more than 1.1 x^2 of itself up to x = 2, and no current of a tube bends more sharply than that.</remarks>
    public bool Says(Vector<double> grid, Vector<double> screen, Vector<double> plate) =>
        Straight(_at.Grid, Grid + _at.GridByGrid * grid + _at.GridByScreen * screen + _at.GridByPlate * plate)
        && Straight(_at.Screen, Screen + _at.ScreenByGrid * grid + _at.ScreenByScreen * screen + _at.ScreenByPlate * plate)
        && Straight(_at.Plate, Plate + _at.PlateByGrid * grid + _at.PlateByScreen * screen + _at.PlateByPlate * plate);

    private static bool Straight(Vector<double> here, Vector<double> there)
    {
        var (apart, size) = (Vector.Abs(there - here), Vector.Abs(here));
        return Vector.LessThanOrEqualAll(apart * apart, size * SmallAmps) && Vector.LessThanOrEqualAll(apart, size + size);
    }
}
