using SweepRig.Analysis.Levels;
using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Tests;

/// <summary>Curves of known shape.</summary>
internal static class Curves
{
    public static Connection Connection { get; } = new(
        ConnectionKind.Pentode, new Volts(24), new Volts(-12), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));

    /// <summary>A calibration without any uncertainty: what is left is what the curve itself tells.</summary>
    public static RigCalibration Exact { get; } = With("exact", new VoltageCorrection(1, 0, 0, 0));

    public static RigCalibration Nominal { get; } = With(RigCalibration.NominalId, VoltageCorrection.Nominal);

    public static RigCalibration With(string id, VoltageCorrection each) => new(id, "SIM-0001", [.. RigChannels.All.Select(_ => each)], each);

    /// <summary>What such a calibration leaves unknown, with resistors that are known exactly.</summary>
    public static MeasurementUncertainty Known(RigCalibration calibration) => new(
        calibration,
        [.. RigChannels.All.Select((_, i) => new VoltageUncertainty((VoltagePlace)i, calibration.Channels[i], 0)), new VoltageUncertainty(VoltagePlace.Drive, calibration.Drive, 0)],
        [new(ResistorPlace.Plate, 10_000, 0, 0, true), new(ResistorPlace.Screen, 100, 0, 0, true), new(ResistorPlace.GridStopper, 4_700, 0, 0, true)]);

    /// <summary>Stated currents that a rail of tens of volts over kilohms shows well.</summary>
    public static LevelOptions Options { get; } = new(20e-6, 20e-6);

    public static double[] Even(double from, double to, double step) =>
        [.. Enumerable.Range(0, (int)Math.Round((to - from) / step) + 1).Select(i => from + i * step)];

    public static Curve Of(double[] drive, Func<double, double> output, double noise = 0, int seed = 1, Func<double, double>? gridCurrent = null, double supply = 24)
    {
        var random = new Random(seed);
        var plate = Array.ConvertAll(drive, x => output(x) + noise * Normal(random));
        return new()
        {
            Pass = new(0, PassDirection.Up, drive.Length, 0, null),
            Drive = drive,
            Plate = plate,
            Grid = Array.ConvertAll(drive, x => x - 4_700 * (gridCurrent?.Invoke(x) ?? 0)),
            Screen = Array.ConvertAll(drive, _ => supply),
            Supply = Array.ConvertAll(drive, _ => supply),
            GridCurrent = Array.ConvertAll(drive, x => (gridCurrent?.Invoke(x) ?? 0) + noise * Normal(random) / 4_700),
            ScreenCurrent = Array.ConvertAll(drive, _ => 0.0),
            PlateCurrent = Array.ConvertAll(plate, v => (supply - v) / 10_000),
            PlateUncertainty = Array.ConvertAll(drive, _ => noise),
            Flags = Array.ConvertAll(drive, _ => SampleFlags.Settled),
            SampledAtTicks = Array.ConvertAll(drive, _ => 1L),
        };
    }

    /// <summary>The same curve swept the other way.</summary>
    public static Curve Reversed(this Curve curve)
    {
        static T[] Back<T>(T[] column) => [.. column.AsEnumerable().Reverse()];
        return curve with
        {
            Pass = curve.Pass with { Direction = PassDirection.Down, Index = curve.Pass.Index + 1 },
            Drive = Back(curve.Drive),
            Plate = Back(curve.Plate),
            Grid = Back(curve.Grid),
            Screen = Back(curve.Screen),
            Supply = Back(curve.Supply),
            GridCurrent = Back(curve.GridCurrent),
            ScreenCurrent = Back(curve.ScreenCurrent),
            PlateCurrent = Back(curve.PlateCurrent),
            PlateUncertainty = Back(curve.PlateUncertainty),
            Flags = Back(curve.Flags),
            SampledAtTicks = Back(curve.SampledAtTicks),
        };
    }

    /// <summary>The same curve with the points missing whose drive lies between.</summary>
    public static Curve Without(this Curve curve, double above, double below)
    {
        double[] Cut(double[] column) => [.. column.Select((v, i) => curve.Drive[i] > above && curve.Drive[i] < below ? double.NaN : v)];
        return curve with
        {
            Drive = Cut(curve.Drive),
            Plate = Cut(curve.Plate),
            Grid = Cut(curve.Grid),
            Screen = Cut(curve.Screen),
            Supply = Cut(curve.Supply),
            GridCurrent = Cut(curve.GridCurrent),
            ScreenCurrent = Cut(curve.ScreenCurrent),
            PlateCurrent = Cut(curve.PlateCurrent),
            PlateUncertainty = Cut(curve.PlateUncertainty),
        };
    }

    /// <summary>Vo = Vm - H tanh(g(Vi - Vm)/H): an inverter whose levels have closed forms.</summary>
    public static Func<double, double> Tanh(double g, double h, double vm) => x => vm - h * Math.Tanh(g * (x - vm) / h);

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
