using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>Currents and derivatives of several points side by side, as the processor holds them.</summary>
internal struct TubeLanes
{
    public Vector<double> Grid, Screen, Plate;
    public Vector<double> GridByGrid, GridByScreen, GridByPlate;
    public Vector<double> ScreenByGrid, ScreenByScreen, ScreenByPlate;
    public Vector<double> PlateByGrid, PlateByScreen, PlateByPlate;
}
