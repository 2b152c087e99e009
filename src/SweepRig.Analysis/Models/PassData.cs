using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Fixture;

namespace SweepRig.Analysis.Models;

/// <summary>The usable points of one pass: what was driven, what was read, and how far single readings scatter.</summary>
internal sealed class PassData
{
    private PassData(ModelRun run, Curve curve, int[] points)
    {
        (Run, Curve, Points) = (run, curve, points);
        Heater = run.Heater(curve);
        Drive = Take(curve.Drive);
        var supply = Take(curve.Supply);
        // A rail that stands still is known better from all of its readings than from each; one that moves is taken as read.
        var scatter = Scatter(VoltagePlace.Supply);
        var rests = run.HasScatteredPoints ? [.. run.Curves.SelectMany(c => c.Supply).Where(double.IsFinite)] : supply;
        var mean = rests.Average();
        var stands = !rests.Any(v => Math.Abs(v - mean) > 6 * scatter);
        Rail = stands ? Array.ConvertAll(supply, _ => mean) : supply;
        Sweep = new FixtureSweep(run.Connection, Drive, Rail);
        Channels = [.. ChannelsOf(run.Connection.Kind == ConnectionKind.Triode)];
    }

    private PassData(ModelRun run, PlannedSweep sweep, Func<VoltagePlace, double> scatter)
    {
        (Run, Points) = (run, [.. Enumerable.Range(0, sweep.Points)]);
        Heater = run.Connection.Heater.Value;
        Drive = sweep.Drives;
        Rail = Array.ConvertAll(Drive, _ => run.Connection.PlateRail.Value);
        Sweep = new FixtureSweep(run.Connection, Drive, Rail);
        Curve = new()
        {
            Pass = new(0, PassDirection.Up, sweep.Points, 0, null),
            Drive = Drive, Grid = [], Plate = [], Screen = [], Supply = Rail, GridCurrent = [], ScreenCurrent = [], PlateCurrent = [], PlateUncertainty = [], Flags = [], SampledAtTicks = [],
        };
        VoltagePlace[] places = run.Connection.Kind == ConnectionKind.Triode
            ? [VoltagePlace.Plate, VoltagePlace.Grid] : [VoltagePlace.Plate, VoltagePlace.Grid, VoltagePlace.Screen];
        Channels = [.. places.Select(p => new ChannelData(p, new double[sweep.Points], scatter(p)))];
    }

    private PassData(PassData other, IReadOnlyList<ChannelData> channels)
    {
        (Run, Curve, Points, Heater, Drive, Rail, Sweep) = (other.Run, other.Curve, other.Points, other.Heater, other.Drive, other.Rail, other.Sweep);
        Channels = channels;
    }

    public ModelRun Run { get; }
    public Curve Curve { get; }

    /// <summary>Places of the usable points within the curve.</summary>
    public int[] Points { get; }

    public double Heater { get; }
    public double[] Drive { get; }
    public double[] Rail { get; }
    public FixtureSweep Sweep { get; }
    public IReadOnlyList<ChannelData> Channels { get; }
    public int Count => Points.Length;
    public int Residuals => Count * Channels.Count;

    /// <param name="Place">Which voltage.</param>
    /// <param name="Volts">Readings.</param>
    /// <param name="Scatter">Standard deviation of a single reading, volts.</param>
    public sealed record ChannelData(VoltagePlace Place, double[] Volts, double Scatter);

    /// <summary>Null where a pass has no usable point at all.</summary>
    public static PassData? Of(ModelRun run, Curve curve)
    {
        List<int> points = new(curve.Count);
        for (var i = 0; i < curve.Count; i++)
            if (double.IsFinite(curve.Drive[i] + curve.Plate[i] + curve.Supply[i]) && curve.Supply[i] > 0 && !ReadingScatter.IsClipped(curve, i)) points.Add(i);
        return points.Count == 0 ? null : new(run, curve, [.. points]);
    }

    /// <summary>The same readings, with the scatter of each channel multiplied.</summary>
    public PassData WithScatter(Func<VoltagePlace, double> factor) => new(this, [.. Channels.Select(c => c with { Scatter = factor(c.Place) * c.Scatter })]);

    /// <summary>A sweep not yet made, with readings of 0 until <see cref="FillWithPredictions"/>.</summary>
    public static PassData Planned(ModelRun run, PlannedSweep sweep, Func<VoltagePlace, double> scatter) => new(run, sweep, scatter);

    /// <summary>Puts the last solution in the place of readings.</summary>
    public void FillWithPredictions()
    {
        foreach (var channel in Channels)
            (channel.Place == VoltagePlace.Plate ? Sweep.Plate : channel.Place == VoltagePlace.Grid ? Sweep.Grid : Sweep.Screen).CopyTo(channel.Volts, 0);
    }

    private IEnumerable<ChannelData> ChannelsOf(bool triode)
    {
        foreach (var place in (VoltagePlace[])[VoltagePlace.Plate, VoltagePlace.Grid, VoltagePlace.Screen])
        {
            if (triode && place == VoltagePlace.Screen) continue;
            var volts = Take(ReadingScatter.Column(Curve, place));
            // A channel that was not measured, or not everywhere, says nothing.
            if (Array.TrueForAll(volts, double.IsFinite)) yield return new(place, volts, Scatter(place));
        }
    }

    private double Scatter(VoltagePlace place)
    {
        var neighbours = Run.HasScatteredPoints ? double.NaN : ReadingScatter.Of(ReadingScatter.Column(Curve, place), Resolution(place));
        return double.IsNaN(neighbours) ? ReadingScatter.Told(Run.HasScatteredPoints ? Run.Curves : [Curve], place, Run.Known, Resolution(place)) : neighbours;
    }

    private double Resolution(VoltagePlace place) => Run.Known.Voltages[(int)place]?.ResolutionVolts ?? 0;

    private double[] Take(double[] column) => Array.ConvertAll(Points, i => column[i]);
}
