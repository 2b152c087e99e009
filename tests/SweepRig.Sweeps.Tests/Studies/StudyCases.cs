using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Studies;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>Tubes and setups as the tests of the studies use them.</summary>
internal static class StudyCases
{
    public static Connection Fixture { get; } = PlanExamples.GentlePentode.Plan.Connection;

    public static Specimen Sound { get; } = new(ExampleTubes.Sound6AU6, TubeBehaviour.None);

    public static Specimen With(TubeBehaviour behaviour, TubeParameters? tube = null) => new(tube ?? ExampleTubes.Sound6AU6, behaviour);

    public static ExplorationSetup Exploration(PlayedBench bench, double ceiling = 24, Connection? fixture = null) =>
        new("study", Samples.Tube, 0, fixture ?? Fixture, new(ceiling), ExplorationLimits.Of(bench.Rig, CatalogueRatings.BuiltIn.Of("6AU6")));

    public static SoakSetup Soak(double minutes, int count, bool draws = false) => new("study", Samples.Tube, 0, Fixture, TimeSpan.FromMinutes(minutes), count, draws);

    public static RepeatSetup Repeat(double minutes, int count) => new("study", Samples.Tube, 0, PlanExamples.GentlePentode.Plan, TimeSpan.FromMinutes(minutes), count);

    public static WarmUpSetup WarmUp() => new("study", Samples.Tube, 0, Fixture);

    public static LifeSetup Life(int cycles, int every) => new("study", Samples.Tube, 0, Fixture, cycles, every);
}
