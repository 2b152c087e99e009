using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Sweeps.Tests.Planning;

/// <summary>A limit that nobody compared with the maker's sheet is kept at less than it says, and whoever meets it is told.</summary>
public sealed class UnverifiedLimitTests
{
    // 28 V over R give at most 28²/4R (matched load): 2.45 W over 80 ohm, which lies between 80 % of the 3 W of a 6AU6 and the 3 W (from memory).
    private static readonly Connection Between = Samples.Gentle.Connection with { PlateRail = new(28), PlateResistor = new(80) };

    [Fact]
    public void A_plan_within_the_row_but_above_its_share_is_refused_with_the_reason()
    {
        var refusal = Assert.Single(Plan(CatalogueRatings.BuiltIn.Of("6AU6")!).Refusals);
        Assert.Equal(("plate-dissipation", "type 6AU6 bears 2.4 W (80 % of 3 W, which is from memory)"), (refusal.Code, refusal.Allowed));
    }

    [Fact]
    public void The_same_row_from_the_makers_sheet_lets_it_pass_and_says_nothing()
    {
        var type = TypeCatalogue.BuiltIn.Find("6AU6")!;
        var planned = Plan(CatalogueRatings.For(type with { Ratings = [.. type.Ratings.Select(r => r with { Confidence = Confidence.MakersSheet })] }));
        Assert.True(planned.IsAccepted);
        Assert.All(planned.Value.Run.Limits, l => Assert.Null(l.Because));
    }

    [Fact]
    public void An_accepted_plan_carries_the_limits_that_it_was_held_to()
    {
        var planned = SweepPlanner.Plan(Samples.Request(Samples.Gentle), Facts(CatalogueRatings.BuiltIn.Of("6AU6")!));
        Assert.Equal(
            [("plate-dissipation", "2.4 W", "80 % of 3 W, which is from memory"), ("screen-dissipation", "520 mW", "80 % of 0.65 W, which is from memory")],
            planned.Value!.Run.Limits.Select(l => (l.Word, l.Most.ToString(), l.Because)));
    }

    private static Domain.Outcome<SweepProgram> Plan(TypeRatings ratings) => SweepPlanner.Plan(Samples.Request(Samples.Gentle with { Connection = Between }), Facts(ratings));

    private static BenchFacts Facts(TypeRatings ratings) => new(
        Samples.Rig, RigCalibration.Nominal(Samples.Rig), Samples.Rig.HardLimits with { CathodeCurrent = new(0.5) }, null, DateTimeOffset.UnixEpoch, TimeSpan.Zero, TimeSpan.FromSeconds(40), ratings);
}
