using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Health;

/// <summary>Screenings of a tube whose constants are known, straight from the model: what the figures must come to is known too.</summary>
internal sealed class Screenings(TubeParameters tube)
{
    private static readonly double[] GridDrives = [-14, -10, -6, -3, -2, -1.6, -1.3, -1.1, -0.9, -0.8, -0.7, -0.6];

    private readonly Random _random = new(5);

    public static Connection Fixture { get; } = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));

    public static RigIdentity Rig { get; } = new(
        1, "", "", "R-1", 1, Supplies.None, new(12, new(-16), new(32)), [.. RigChannels.All.Select(c => new ChannelScale(c, 12, 4, new(-20), new(40)))],
        new(new(-14), new(26), new Amps(8e-3), new Amps(30e-3), new(0), new(40), 40), 300, 16, ResetReason.PowerOn);

    public RigCalibration Calibration { get; init; } = Curves.Exact;

    public double TauSeconds { get; init; } = 8;

    /// <summary>Standard deviation of every voltage.</summary>
    public double NoiseVolts { get; init; } = 0.05e-3;

    /// <summary>Added to the output of the quick steps at a time in seconds.</summary>
    public Func<double, double> Disturbance { get; init; } = _ => 0;

    public IReadOnlyList<ScreeningRun> All =>
    [
        Run(ScreeningStepKind.ColdRailOff, Held(GridDrives, 16), 0, _ => 293.15, 0.022),
        Run(ScreeningStepKind.ColdRailOn, Held(GridDrives, 16), 28, _ => 293.15, 0.022),
        Run(ScreeningStepKind.WarmUp, Held([0], 2_400), 28, t => 1050 - (1050 - 293.15) * Math.Exp(-(t + 0.18) / TauSeconds), 0.025),
        Run(ScreeningStepKind.FirstMinutes, Held([0], 1_200), 28, _ => 1050, 0.1),
        Run(ScreeningStepKind.Transfer, [.. Enumerable.Range(0, 281).Select(i => -14 + 0.05 * i)], 28, _ => 1050, 0.007),
        Run(ScreeningStepKind.GridCurrent, Held(GridDrives, 16), 28, _ => 1050, 0.022),
        Run(ScreeningStepKind.Quiet, [.. Held([-14], 2_000), .. Held([-0.7], 8_000)], 28, _ => 1050, 0.0005),
        Run(ScreeningStepKind.Tapped, Held([-0.7], 8_000), 28, _ => 1050, 0.0005),
        Run(ScreeningStepKind.LowHeater, Held([0], 450), 28, _ => 1050 * Math.Pow(0.9, 0.4), 0.1),
    ];

    public TubeModel Warm(double heater = 6.3) => new(tube, new Volts(heater));

    private static double[] Held(double[] drives, int points) => [.. drives.SelectMany(d => Enumerable.Repeat(d, points))];

    private ScreeningRun Run(ScreeningStepKind kind, double[] drive, double rail, Func<double, double> kelvinAt, double step)
    {
        var solver = new FixtureSolver(Fixture);
        var points = new FixturePoint[drive.Length];
        var (model, kelvin) = (TubeModel.AtTemperature(tube, kelvinAt(0)), kelvinAt(0));
        for (var i = 0; i < points.Length; i++)
        {
            var now = kelvinAt(i * step);
            if (i > 0 && now == kelvin && drive[i] == drive[i - 1])
            {
                points[i] = points[i - 1];
                continue;
            }
            if (now != kelvin) (model, kelvin) = (TubeModel.AtTemperature(tube, now), now);
            points[i] = solver.Solve(model, drive[i], rail, i > 0 ? points[i - 1] : default);
        }
        var quick = kind is ScreeningStepKind.Quiet or ScreeningStepKind.Tapped;
        double[] plate = [.. points.Select((p, i) => p.Plate + (quick && drive[i] > -10 ? Disturbance(i * step) : 0) + Noise())];
        double[] grid = [.. points.Select(p => p.Grid + Noise())];
        double[] screen = [.. points.Select(p => p.Screen + Noise())];
        var curve = new Curve
        {
            Pass = new(0, PassDirection.Up, drive.Length, 0, null),
            Drive = drive,
            Grid = grid,
            Plate = plate,
            Screen = screen,
            Supply = Array.ConvertAll(drive, _ => rail),
            GridCurrent = [.. drive.Select((d, i) => (d - grid[i]) / 4_700)],
            ScreenCurrent = Array.ConvertAll(screen, v => (rail - v) / 100),
            PlateCurrent = Array.ConvertAll(plate, v => (rail - v) / 10_000),
            PlateUncertainty = Array.ConvertAll(drive, _ => NoiseVolts),
            Flags = new SampleFlags[drive.Length],
            SampledAtTicks = [.. drive.Select((_, i) => 1_000_000L + (long)Math.Round(i * step * 1e6))],
        };
        var plan = new SweepPlan(
            $"Screening: {kind}", new(drive.Min()), new(drive.Max()), drive.Length, SweepDirection.Up, 1_000, new Averaging.Count(16), null, 1, null, Fixture with { PlateRail = new(rail) });
        var header = new RunHeader($"run-{kind}", DateTimeOffset.UnixEpoch, new("SKUA-014", "6AU6"), 0, plan, [curve.Pass], Calibration, Rig, "test", null)
        {
            Screening = new("s", kind),
        };
        return new(header, RunState.Complete, curve, []);
    }

    private double Noise() => NoiseVolts * Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    public static TubeParameters Sound => ExampleTubes.Sound6AU6;
}
