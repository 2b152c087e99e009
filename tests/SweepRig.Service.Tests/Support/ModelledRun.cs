using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Tests.Support;

/// <summary>
/// A run as the rig of <see cref="Examples"/> would have recorded it of a tube whose constants are known: codes of its converters with noise, from the model and the circuit around it.
/// No clock is in it, so that the same run is the same to the last code on any machine.
/// </summary>
internal sealed record ModelledRun(SweepPlan Plan)
{
    private const int Conversions = 16;

    public ModelledRun(PlanExample example) : this(example.Plan)
    {
    }

    public DateTimeOffset StartedUtc { get; init; } = Examples.Started;

    public string Id { get => field ??= Guid.CreateVersion7(StartedUtc).ToString("N"); init; }

    public Tube Label { get; init; } = new("SKUA-014", "6AU6", "Skua");

    public TubeParameters Tube { get; init; } = ExampleTubes.Sound6AU6;

    public int Seed { get; init; } = 1;

    /// <summary>Noise of a single conversion, in steps of its converter.</summary>
    public double NoiseSteps { get; init; } = 0.8;

    /// <summary>How the socket is really wired, where the plan records it wrongly.</summary>
    public Connection? Wired { get; init; }

    /// <summary>The study that it is a run of; null for none.</summary>
    public StudyTag? Study { get; init; }

    /// <summary>Points of each pass that were lost.</summary>
    public Func<int, bool> IsLost { get; init; } = static _ => false;

    private IReadOnlyList<PassHeader> Passes
    {
        get
        {
            PassDirection[] ways = Plan.Direction switch
            {
                SweepDirection.UpAndDown => [PassDirection.Up, PassDirection.Down],
                SweepDirection.Down => [PassDirection.Down],
                _ => [PassDirection.Up],
            };
            return [.. Enumerable.Range(0, Plan.Repeats * ways.Length).Select(i => new PassHeader(i, ways[i % ways.Length], Plan.Points, i / ways.Length, null))];
        }
    }

    public RunHeader Header => Examples.Header(Id, started: StartedUtc) with { Tube = Label, Plan = Plan, Passes = Passes, Study = Study };

    public SampleBlock[] Blocks()
    {
        var random = new Random(Seed);
        var wired = Wired ?? Plan.Connection;
        var (model, solver) = (new TubeModel(Tube, wired.Heater), new FixtureSolver(wired));
        return [.. Passes.Select(p => Block(p, model, solver, wired, random))];
    }

    public RecordedRun Recorded()
    {
        var (header, blocks) = (Header, Blocks());
        var record = new RunRecord(header, RunState.Complete, header.StartedUtc.AddSeconds(4), blocks.Sum(b => b.Count), [], []);
        return new(record, header.Calibration, CurveBuilder.Build(header, blocks));
    }

    public async Task StoreAsync(RunStore store)
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var run = await store.BeginAsync(Header, cancellation);
        await run.AppendAsync(Blocks(), cancellation);
        await run.EndAsync(RunState.Complete, StartedUtc.AddSeconds(4), cancellation);
    }

    public static async Task StoreAsync(string directory, params ModelledRun[] runs)
    {
        await using var store = await RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, TestContext.Current.CancellationToken);
        foreach (var run in runs) await run.StoreAsync(store);
    }

    private SampleBlock Block(PassHeader pass, TubeModel model, FixtureSolver solver, Connection wired, Random random)
    {
        int[] points = [.. Enumerable.Range(0, pass.Points).Where(i => !IsLost(i))];
        var codes = Array.ConvertAll(points, i => DriveCode(pass, i));
        var states = Array.ConvertAll(codes, c => solver.Solve(model, Examples.Rig.Drive.ToVolts(c)));
        var flags = Array.ConvertAll(points, _ => SampleFlags.Settled);
        ushort[] Column(RigChannel channel, Func<FixturePoint, double> volts)
        {
            var scale = Examples.Rig.Channels[(int)channel];
            var full = scale.MaxCode << scale.FractionBits;
            return [.. states.Select((s, i) =>
            {
                var noise = NoiseSteps / Math.Sqrt(Conversions) * Normal(random);
                var code = ((volts(s) - scale.AtZero.Value) / scale.StepVolts + noise) * (1 << scale.FractionBits);
                if (code >= full) flags[i] |= SampleFlags.Clipped;
                return (ushort)Math.Clamp(Math.Round(code), 0, full);
            })];
        }
        ushort[][] columns = [Column(RigChannel.Plate, s => s.Plate), Column(RigChannel.Grid, s => s.Grid), Column(RigChannel.Screen, s => s.Screen), Column(RigChannel.Supply, _ => wired.PlateRail.Value), []];
        return new()
        {
            Pass = pass.Index,
            FrameIndex = 0,
            PointIndex = Array.ConvertAll(points, i => (ushort)i),
            SampledAtTicks = Array.ConvertAll(points, i => 2_000L * (i + pass.Index * pass.Points)),
            DriveCode = codes,
            Flags = flags,
            AveragedCount = Array.ConvertAll(points, _ => (ushort)Conversions),
            // The range of 16 normal readings is 3.5 standard deviations (common practice in quality control, no source).
            Spread = Array.ConvertAll(points, _ => (ushort)Math.Ceiling(3.5 * NoiseSteps)),
            Codes = columns,
        };
    }

    private ushort DriveCode(PassHeader pass, int point)
    {
        var at = pass.Direction == PassDirection.Up ? point : pass.Points - 1 - point;
        return (ushort)Examples.Rig.Drive.ToCode(new(Plan.Start.Value + at * (Plan.Stop.Value - Plan.Start.Value) / (pass.Points - 1)));
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
