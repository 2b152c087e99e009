using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>Derivatives of the three currents by the coordinates of the tube (<see cref="TubeCoordinates"/>) at many points. Made once, used again and again.</summary>
/// <param name="capacity">Most points it holds.</param>
public sealed class TubeSensitivities(int capacity)
{
    public int Capacity => capacity;

    /// <summary>Grid current by each coordinate, <c>[(int)parameter][point]</c>. Unit: A by the unit of the coordinate.</summary>
    public double[][] Grid { get; } = Columns(capacity);

    public double[][] Screen { get; } = Columns(capacity);

    public double[][] Plate { get; } = Columns(capacity);

    internal void Put(TubeParameter parameter, Vector<double> grid, Vector<double> screen, Vector<double> plate, int at, int count)
    {
        Put(grid, Grid[(int)parameter], at, count);
        Put(screen, Screen[(int)parameter], at, count);
        Put(plate, Plate[(int)parameter], at, count);
    }

    private static void Put(Vector<double> lanes, double[] column, int at, int count)
    {
        if (count == Vector<double>.Count) lanes.CopyTo(column, at);
        else
        {
            for (var n = 0; n < count; n++) column[at + n] = lanes[n];
        }
    }

    private static double[][] Columns(int capacity) => [.. TubeCoordinates.All.Select(_ => new double[capacity])];
}
