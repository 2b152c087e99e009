using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Two hundred aged tubes, by the model and a rig's converters with noise: no rule fires on a sound one, attended or not.</summary>
public sealed class SoundTubesTests
{
    private const int SamplesInBlock = 7;

    [Theory]
    [InlineData("gentle-pentode", 141)]
    [InlineData("far-positive-pentode", 64)]
    [InlineData("far-positive-triode", 64)]
    public void No_rule_fires_on_a_sound_tube(string example, int points)
    {
        var plan = PlanExamples.Find(example)!.Plan with { Points = points };
        var lot = TubeLot.Draw(new("Skua", ExampleTubes.Sound6AU6, 200, 0), 11);
        var tripped = lot.Tubes.SelectMany(t => new[] { false, true }.Select(night => (t.Label, night, Trip: Sweep(plan, t.Specimen.Parameters, night)))).Where(r => r.Trip is not null).ToList();
        Assert.True(tripped.Count == 0, $"{tripped.Count} of 400: {string.Join("; ", tripped.Take(5))}");
    }

    private static Trip? Sweep(SweepPlan plan, TubeParameters tube, bool unattended)
    {
        var (rig, nominal) = (Samples.Rig, RigCalibration.Nominal(Samples.Rig));
        var ratings = CatalogueRatings.BuiltIn.Of("6AU6")!;
        var isTriode = plan.Connection.Kind == Domain.Tubes.ConnectionKind.Triode;
        var sweep = new WatchedSweep(HostLimits.Of(rig.HardLimits, nominal, unattended: unattended), WatchedSweep.Pass with
        {
            PlateWatts = ratings.PlateDissipation!.Value.Value,
            ScreenWatts = isTriode ? double.PositiveInfinity : ratings.ScreenDissipation!.Value.Value,
        });
        var (model, solver, calibrator) = (new TubeModel(tube, new(6.3)), new FixtureSolver(plan.Connection), new Calibrator(rig, nominal, plan.Connection));
        var random = new Random(3);
        var curve = Enumerable.Range(0, plan.Points).Select(i => rig.Drive.ToCode(new(plan.Start.Value + ((plan.Stop.Value - plan.Start.Value) * i / (plan.Points - 1)))))
            .Select(code => (Code: code, Point: solver.Solve(model, rig.Drive.ToVolts(code)))).ToList();
        var time = 0L;
        // Ten passes up and down, the later ones at a steady tube: repeats are looked at for a runaway.
        for (var pass = 0; pass < 10 && sweep.Cause is null; pass++)
        {
            var way = pass % 2 == 0 ? curve : Enumerable.Reverse(curve).ToList();
            sweep.Next(new InterlockEvent.PassBegun(sweep.State.Pass!, time * 1e-6), time * 1e-6);
            foreach (var chunk in way.Chunk(SamplesInBlock))
            {
                var block = Block(chunk, ref time, plan, random);
                sweep.Block(BlockSummary.Of(block, calibrator.Convert(block), calibrator));
            }
        }
        return sweep.State.Trip;
    }

    private static SampleBlock Block((int Code, FixturePoint Point)[] chunk, ref long time, SweepPlan plan, Random random)
    {
        var ticks = new long[chunk.Length];
        for (var i = 0; i < ticks.Length; i++) ticks[i] = time += 20_000;
        return new()
        {
            Pass = 0,
            FrameIndex = 0,
            PointIndex = new ushort[chunk.Length],
            SampledAtTicks = ticks,
            DriveCode = Array.ConvertAll(chunk, c => (ushort)c.Code),
            Flags = new SampleFlags[chunk.Length],
            AveragedCount = Array.ConvertAll(chunk, _ => (ushort)16),
            Spread = Array.ConvertAll(chunk, _ => (ushort)2),
            Codes =
            [
                Codes(RigChannel.Plate, c => c.Point.Plate), Codes(RigChannel.Grid, c => c.Point.Grid), Codes(RigChannel.Screen, c => c.Point.Screen),
                Codes(RigChannel.Supply, _ => plan.Connection.PlateRail.Value), Codes(RigChannel.Drive, c => Samples.Rig.Drive.ToVolts(c.Code)),
            ],
        };

        // The mean of 16 conversions, each with 0.4 steps of noise (SimulatedRigOptions.NoiseVolts), stored in sixteenths of a step.
        ushort[] Codes(RigChannel channel, Func<(int Code, FixturePoint Point), double> volts)
        {
            var scale = Samples.Rig.Channels[(int)channel];
            return Array.ConvertAll(chunk, c => (ushort)Math.Clamp(Math.Round(((volts(c) - scale.AtZero.Value) / scale.StepVolts + (0.1 * Normal(random))) * 16), 0, scale.MaxCode * 16));
        }
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
