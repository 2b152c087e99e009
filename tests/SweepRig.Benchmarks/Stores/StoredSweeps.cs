using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Stores;

/// <summary>
/// Sweeps of 512 points as a rig sends them: five channels of 12 bits averaged over 16 conversions to 16 bits, with the noise of the converters on each code,
/// in frames of 6 samples (firmware-notes/link-protocol.md). The curves are of the model, one for each of some tubes; every run has noise of its own.
/// </summary>
internal sealed class StoredSweeps
{
    public const int Points = 512;

    /// <summary>Bytes of the channels' codes of one run, and of nothing else.</summary>
    public const long RawBytes = 2L * Points * RigChannels.Count;

    private const int PerFrame = 6, Curves = 40, Conversions = 16;

    /// <summary>Of one conversion, in steps of the converter: as much again as the simulated rig has.</summary>
    private const double NoiseSteps = 0.8;

    private static readonly Connection Connection = new(ConnectionKind.Pentode, new Volts(28), new Volts(-14), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));

    private readonly Random _random = new(1957);
    private readonly double[][][] _codes;

    public StoredSweeps() => _codes = [.. Enumerable.Range(0, Curves).Select(_ => Curve())];

    public static DateTimeOffset Started { get; } = new(2026, 3, 14, 9, 26, 53, TimeSpan.Zero);

    public static SweepPlan Plan { get; } = new(
        "Tide-clock inverter", new Volts(-14), new Volts(-0.5), Points, SweepDirection.Up, 2000, new Averaging.Count(Conversions), null, 1, null, Connection);

    private static RigIdentity Rig { get; } = new(
        1, "sweeprig-reference 1.0", "bench", "RIG-0042", 4, Supplies.Heater | Supplies.PlateRail, new DriveScale(12, new Volts(-16), new Volts(32)),
        [
            .. RigChannels.All.Select(c => c switch
            {
                RigChannel.Grid => new ChannelScale(c, 12, 4, new Volts(-20.48), new Volts(20.48)),
                RigChannel.Drive => new ChannelScale(c, 12, 4, new Volts(-20.48), new Volts(40.96)),
                _ => new ChannelScale(c, 12, 4, new Volts(0), new Volts(40.96)),
            }),
        ],
        new RigLimits(new Volts(-14), new Volts(26), new Amps(0.008), new Amps(0.030), new Volts(0), new Volts(40), 40),
        300, 16, ResetReason.PowerOn);

    public static RunHeader Header(int run, string tube)
    {
        var at = Started.AddSeconds(20 * run);
        return new(Guid.CreateVersion7(at).ToString("N"), at, new Tube(tube, "6AU6", "Skua"), run % 4, Plan, [new PassHeader(0, PassDirection.Up, Points, 0, null)], RigCalibration.Nominal(Rig), Rig, "0.1.0", null)
        {
            // One in twenty is a step of a screening.
            Screening = run % 20 == 7 ? new(Guid.CreateVersion7(at).ToString("N"), Domain.Screening.ScreeningStepKind.ColdRailOff) : null,
        };
    }

    public SampleBlock[] Blocks(int run)
    {
        var curve = _codes[run % Curves];
        var began = 5_000_000L + _random.Next(1_000_000);
        return [.. Enumerable.Range(0, Points).Chunk(PerFrame).Select((points, frame) => new SampleBlock
        {
            Pass = 0,
            FrameIndex = frame,
            PointIndex = Array.ConvertAll(points, p => (ushort)p),
            // The plate settles after a whole number of conversions.
            SampledAtTicks = Array.ConvertAll(points, p => began + 3280L * p + 16 * _random.Next(3)),
            DriveCode = Array.ConvertAll(points, p => (ushort)Rig.Drive.ToCode(Drive(p))),
            Flags = Array.ConvertAll(points, _ => SampleFlags.Settled),
            AveragedCount = Array.ConvertAll(points, _ => (ushort)Conversions),
            // Range of 16 readings: 3.5 standard deviations on average, one about it (common practice in quality control, no source).
            Spread = Array.ConvertAll(points, _ => (ushort)Math.Max(0, Math.Round(NoiseSteps * (3.5 + 0.75 * Normal())))),
            Codes = [.. curve.Select(codes => Array.ConvertAll(points, p => (ushort)Math.Clamp(Math.Round(codes[p] + NoiseSteps / Math.Sqrt(Conversions) * 16 * Normal()), 0, 65535)))],
        })];
    }

    private static Volts Drive(int point) => new(Plan.Start.Value + point * (Plan.Stop.Value - Plan.Start.Value) / (Points - 1));

    private double[][] Curve()
    {
        var sound = ExampleTubes.Sound6AU6;
        var model = new TubeModel(sound with { Perveance = sound.Perveance * (1 + 0.1 * Normal()), GridOffset = sound.GridOffset + 0.1 * Normal() }, Connection.Heater);
        var solver = new FixtureSolver(Connection);
        var states = Enumerable.Range(0, Points).Select(p => solver.Solve(model, Drive(p).Value)).ToArray();
        Func<int, double>[] volts = [p => states[p].Plate, p => states[p].Grid, p => states[p].Screen, _ => Connection.PlateRail.Value, p => Drive(p).Value];
        return [.. volts.Select((v, c) => Enumerable.Range(0, Points).Select(p => (v(p) - Rig.Channels[c].AtZero.Value) / Rig.Channels[c].StepVolts * (1 << Rig.Channels[c].FractionBits)).ToArray())];
    }

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
