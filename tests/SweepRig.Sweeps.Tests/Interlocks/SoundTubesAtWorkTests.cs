using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;
using SweepRig.Sweeps.Studies;
using SweepRig.Sweeps.Tests.Studies;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>
/// Aged sound tubes of a lot through families and through the whole screening, on the simulated bench with its converters, hum, warming and noise: no rule fires on one, attended or not.
/// A part of the lot; SWEEPRIG_EVERY_TUBE=1 takes all two hundred, which is some minutes.
/// </summary>
public sealed class SoundTubesAtWorkTests
{
    private static readonly IReadOnlyList<LotTube> Lot = TubeLot.Draw(new("Skua", ExampleTubes.Sound6AU6, 200, 0), 11).Tubes;

    private static readonly bool Every = Environment.GetEnvironmentVariable("SWEEPRIG_EVERY_TUBE") == "1";

    [Theory]
    [InlineData("rail-family")]
    [InlineData("plate-family")]
    public void No_rule_fires_in_a_family(string example)
    {
        var plan = PlanExamples.Find(example)!.Plan;
        NoTrips(tubes: 10, (bench, setup) => bench.Do(setup, new StudyAct.Sweep("family", StudyRole.Measure, plan, default)), plan.Connection, isSweep: true);
    }

    [Fact]
    public void No_rule_fires_in_a_screening() => NoTrips(tubes: 2, Screen, StudyCases.Fixture, isSweep: false);

    private static void NoTrips(int tubes, Action<PlayedBench, StudySetup> work, Connection fixture, bool isSweep)
    {
        var chosen = Every ? Lot : [.. Enumerable.Range(0, tubes).Select(i => Lot[i * Lot.Count / tubes])];
        var tripped = new List<string>();
        foreach (var tube in chosen)
        {
            var watchers = new[] { Watcher(unattended: false), Watcher(unattended: true) };
            var blocks = 0;
            var bench = new PlayedBench(tube.Specimen, seed: 5)
            {
                PassPlayed = (pass, seen) =>
                {
                    blocks += seen.Count;
                    foreach (var watcher in watchers) Show(watcher, pass, seen, fixture, isSweep);
                },
            };
            work(bench, StudyCases.Repeat(1, 1));
            Assert.NotEqual(0, blocks);
            tripped.AddRange(watchers.Where(w => w.Cause is not null).Select(w => $"{tube.Label} {w.State.Trip}"));
        }
        Assert.True(tripped.Count == 0, $"{tripped.Count} of {2 * chosen.Count}: {string.Join("; ", tripped.Take(5))}");
    }

    private static void Screen(PlayedBench bench, StudySetup setup)
    {
        var procedure = ScreeningProcedure.Begin(bench.Rig, new("screening", Samples.Tube, 0, StudyCases.Fixture));
        while (procedure.Next is { } step)
        {
            var run = Assert.IsType<StudyResult.Ran>(bench.Do(setup, new StudyAct.Watch(step.Title, StudyRole.Measure, step))).Run;
            procedure = procedure.With(new ScreeningRun(run.Header with { Screening = new ScreeningTag("screening", step.Kind) }, run.State, run.Curves[0], run.Trips));
        }
        Assert.Null(procedure.EndedEarly);
        Assert.Equal(procedure.Program.Count, procedure.Runs.Count);
    }

    private static WatchedSweep Watcher(bool unattended) => new(HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig), unattended: unattended));

    private static void Show(WatchedSweep watcher, PassProgram pass, IReadOnlyList<Domain.Runs.SampleBlock> blocks, Connection fixture, bool isSweep)
    {
        var ratings = CatalogueRatings.BuiltIn.Of("6AU6")!;
        var connection = fixture with { PlateRail = new(pass.Supplies.PlateRail ? pass.Supplies.PlateRailVolts : 0) };
        var calibrator = new Calibrator(Samples.Rig, RigCalibration.Nominal(Samples.Rig), connection);
        var begins = blocks[0].SampledAtTicks[0] * 1e-6;
        watcher.Next(new InterlockEvent.PassBegun(new(isSweep)
        {
            RailVolts = pass.Supplies.PlateRail ? pass.Supplies.PlateRailVolts : double.NaN,
            HeaterVolts = pass.Supplies.Heater ? pass.Supplies.HeaterVolts : double.NaN,
            StopperOhms = fixture.GridStopper.Value,
            PlateWatts = ratings.PlateDissipation!.Value.Value,
            ScreenWatts = fixture.Kind == ConnectionKind.Triode ? double.PositiveInfinity : ratings.ScreenDissipation!.Value.Value,
        }, begins), begins);
        foreach (var block in blocks) watcher.Block(BlockSummary.Of(block, calibrator.Convert(block), calibrator));
    }
}
