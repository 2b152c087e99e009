using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>Currents (A) and derivatives (S) of many points, one array each: what <see cref="TubeModel.EvaluateMany"/> fills. Made once, used again and again.</summary>
/// <param name="capacity">Most points it holds.</param>
public sealed class TubeColumns(int capacity)
{
    public int Capacity => capacity;
    public double[] Grid { get; } = new double[capacity];
    public double[] Screen { get; } = new double[capacity];
    public double[] Plate { get; } = new double[capacity];
    public double[] GridByGrid { get; } = new double[capacity];
    public double[] GridByScreen { get; } = new double[capacity];
    public double[] GridByPlate { get; } = new double[capacity];
    public double[] ScreenByGrid { get; } = new double[capacity];
    public double[] ScreenByScreen { get; } = new double[capacity];
    public double[] ScreenByPlate { get; } = new double[capacity];
    public double[] PlateByGrid { get; } = new double[capacity];
    public double[] PlateByScreen { get; } = new double[capacity];
    public double[] PlateByPlate { get; } = new double[capacity];

    internal void Store(in TubeLanes lanes, int at, int count)
    {
        Put(lanes.Grid, Grid, at, count);
        Put(lanes.Screen, Screen, at, count);
        Put(lanes.Plate, Plate, at, count);
        Put(lanes.GridByGrid, GridByGrid, at, count);
        Put(lanes.GridByScreen, GridByScreen, at, count);
        Put(lanes.GridByPlate, GridByPlate, at, count);
        Put(lanes.ScreenByGrid, ScreenByGrid, at, count);
        Put(lanes.ScreenByScreen, ScreenByScreen, at, count);
        Put(lanes.ScreenByPlate, ScreenByPlate, at, count);
        Put(lanes.PlateByGrid, PlateByGrid, at, count);
        Put(lanes.PlateByScreen, PlateByScreen, at, count);
        Put(lanes.PlateByPlate, PlateByPlate, at, count);
    }

    private static void Put(Vector<double> lanes, double[] column, int at, int count)
    {
        if (count == Vector<double>.Count) lanes.CopyTo(column, at);
        else
        {
            for (var n = 0; n < count; n++) column[at + n] = lanes[n];
        }
    }
}
