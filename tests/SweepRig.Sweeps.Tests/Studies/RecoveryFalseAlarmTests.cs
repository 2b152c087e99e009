using SweepRig.Analysis.Studies;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;
using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>What the check of recovery does with tubes that did not change, and with those that did.</summary>
public sealed class RecoveryFalseAlarmTests
{
    private const int Tubes = 200, Checks = 16;

    /// <summary>
    /// 200 sound tubes of lots, none driven positive, with all that sound tubes do (wandering, hum, spread): 1 % of them, which are 2, may be called changed. The seeds are fixed, so that
    /// this is the same on any machine.
    /// </summary>
    [Fact]
    public void Of_tubes_that_do_not_change_fewer_are_called_changed_than_is_stated()
    {
        var lot = TubeLot.Draw(new("Skua", ExampleTubes.Sound6AU6, Tubes, 0), 11);
        var called = Enumerable.Range(0, Tubes).AsParallel().WithDegreeOfParallelism(2).Count(n => Alarms(lot.Tubes[n].Specimen, 500 + n));
        Assert.InRange(called, 0, 1);
    }

    private static bool Alarms(Specimen tube, int seed)
    {
        var bench = new PlayedBench(tube, seed);
        var setup = StudyCases.Exploration(bench);
        var one = Exploration.Begin(bench.Rig, setup).FalseAlarmsOfOne;
        bench.Do(setup, new StudyAct.Heat("", setup.Fixture.Heater));
        bench.Do(setup, new StudyAct.WaitUntil("", setup.Settle));
        var baseline = RepeatBaseline.Of([.. Enumerable.Range(0, setup.BaselineSweeps).Select(_ => Reference(bench, setup))], one)!;
        return Enumerable.Range(0, Checks).Any(_ => !baseline.Check(Reference(bench, setup))!.Repeats);
    }

    private static Curve Reference(PlayedBench bench, ExplorationSetup setup)
    {
        var ran = (StudyResult.Ran)bench.Do(setup, new StudyAct.Sweep("", StudyRole.Reference, StudyPlans.Reference(bench.Rig, setup.Fixture) with { Averaging = new Averaging.Count(16) }, default));
        // As far apart as in an exploration: sweep with positive drive, rest.
        bench.Do(setup, new StudyAct.WaitUntil("", bench.Now + TimeSpan.FromSeconds(6)));
        return ran.Run.Curves[0];
    }
}
