using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>
/// A sweep of a drawn tube on a drawn bench: what the calibration leaves unknown is drawn from its own distributions (correction of each channel, gain and zero of the meter, resistors),
/// then the fixture is solved at the true drives and read with noise and resolution. The truth is kept beside it.
/// </summary>
internal sealed class SeededSweep
{
    public const int Points = 512;

    public const double From = -6, To = 25;

    private const double Rail = 24;

    /// <summary>Scatter of an averaged reading and step of a stored code, volts: 12 bits over 40.95 V, 16 readings.</summary>
    private const double Noise = 2e-3, Step = 0.01 / 16;

    private static readonly Connection Planned = new(
        ConnectionKind.Pentode, new Volts(Rail), new Volts(-12), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));

    private static readonly RigIdentity Rig = new(
        1, "test", "test", "SIM-0001", 1, Supplies.None, new(12, new(-16), new(32)), [.. RigChannels.All.Select(c => new ChannelScale(c, 12, 4, new(0), new(40.95)))],
        new(new(-14), new(26), new(0.02), new(0.05), new(0), new(40), 60), 300, 16, ResetReason.PowerOn);

    /// <summary>As a careful calibration leaves it: 2 mV and 0.02 % by the fits, a meter of ±(0.05 % + 2 mV), resistors read to 0.1 %.</summary>
    private static readonly VoltageCorrection Each = new(12, 1, 0, 12, 20, new(4e-6, 0, 4e-8, 0, 0, 0), 5e-4, 2e-3);

    private static readonly RigCalibration Calibration = new("drawn", "SIM-0001", [.. RigChannels.All.Select(_ => Each)], Each)
    {
        Resistors =
        [
            new(ResistorPlace.Plate, 10_000, 10_000, 10), new(ResistorPlace.Screen, 100, 100, 0.1), new(ResistorPlace.GridStopper, 4_700, 4_700, 4.7),
        ],
    };

    public static MeasurementUncertainty Known { get; } = MeasurementUncertainty.Of(Rig, Calibration, Planned);

    private readonly FixtureSolver _solver;
    private readonly TubeModel _tube;

    /// <param name="seed">Names tube, bench and noise.</param>
    /// <param name="mirrored">The same with every error the other way: the mean of both is free of what is linear in the errors.</param>
    public SeededSweep(int seed, bool mirrored = false)
    {
        var sign = mirrored ? -1 : 1;
        var random = new RandomStream((ulong)seed);
        // Cathodes of 950 to 1150 K, as the law of small grid currents takes them to be.
        var parameters = new LotSpread().Draw(ExampleTubes.Sound6AU6, seed, 1)[0] with { RatedTemperatureKelvin = 1050 + 100 * (2 * random.Uniform() - 1) };
        _tube = new(parameters, new Volts(6.3));
        double Ohms(double nominal) => nominal + sign * 0.001 * nominal * random.Normal();
        _solver = new(Planned with { PlateResistor = new(Ohms(10_000)), ScreenResistor = new(Ohms(100)), GridStopper = new(Ohms(4_700)) });
        var meterGain = sign * Each.MeterGainLimit * (2 * random.Uniform() - 1);
        var meterZero = sign * Each.MeterZeroLimitVolts * (2 * random.Uniform() - 1);
        var places = new Func<double, double>[RigChannels.Count + 1];
        for (var p = 0; p < places.Length; p++)
        {
            double a = sign * 2e-3 * random.Normal(), s = sign * 2e-4 * random.Normal();
            // Read volts from true volts.
            places[p] = v => v + a + s * (v - 12) + meterGain * v + meterZero;
        }
        Curve = Measure(random, places, sign);
    }

    public static Connection Connection => Planned;

    public Curve Curve { get; }

    public double PlateOhms => _solver.Connection.PlateResistor.Value;

    public FixturePoint At(double drive) => _solver.Solve(_tube, drive);

    private Curve Measure(RandomStream random, Func<double, double>[] read, int sign)
    {
        double[] Column() => new double[Points];
        double[] drive = Column(), grid = Column(), plate = Column(), screen = Column(), supply = Column(), u = Column();
        double Read(VoltagePlace place, double volts) => Math.Round((read[(int)place](volts) + sign * Noise * random.Normal()) / Step) * Step;
        for (var i = 0; i < Points; i++)
        {
            var commanded = From + (To - From) * i / (Points - 1);
            // The true drive reads as the commanded one.
            var actual = commanded - (read[(int)VoltagePlace.Drive](commanded) - commanded);
            var point = At(actual);
            drive[i] = commanded;
            grid[i] = Read(VoltagePlace.Grid, point.Grid);
            plate[i] = Read(VoltagePlace.Plate, point.Plate);
            screen[i] = Read(VoltagePlace.Screen, point.Screen);
            supply[i] = Read(VoltagePlace.Supply, Rail);
            u[i] = Math.Sqrt(Math.Pow(Each.UncertaintyAt(plate[i]), 2) + Noise * Noise + Step * Step / 12);
        }
        return new()
        {
            Pass = new(0, PassDirection.Up, Points, 0, null),
            Drive = drive, Grid = grid, Plate = plate, Screen = screen, Supply = supply, PlateUncertainty = u,
            GridCurrent = [.. drive.Zip(grid, (d, g) => (d - g) / 4_700)],
            ScreenCurrent = [.. supply.Zip(screen, (s, g) => (s - g) / 100)],
            PlateCurrent = [.. supply.Zip(plate, (s, p) => (s - p) / 10_000)],
            Flags = [.. drive.Select(_ => SampleFlags.Settled)],
            SampledAtTicks = [.. drive.Select((_, i) => (long)i)],
        };
    }
}
