using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>Currents (A) and derivatives (S) of several points side by side, as the processor holds them.</summary>
public record struct TubeLanes
{
    public Vector<double> Grid { get; set; }
    public Vector<double> Screen { get; set; }
    public Vector<double> Plate { get; set; }
    public Vector<double> GridByGrid { get; set; }
    public Vector<double> GridByScreen { get; set; }
    public Vector<double> GridByPlate { get; set; }
    public Vector<double> ScreenByGrid { get; set; }
    public Vector<double> ScreenByScreen { get; set; }
    public Vector<double> ScreenByPlate { get; set; }
    public Vector<double> PlateByGrid { get; set; }
    public Vector<double> PlateByScreen { get; set; }
    public Vector<double> PlateByPlate { get; set; }
}
