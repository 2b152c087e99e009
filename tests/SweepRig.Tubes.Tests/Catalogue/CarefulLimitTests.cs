using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

public sealed class CarefulLimitTests
{
    [Theory]
    [InlineData(Confidence.FromMemory, 0.8)]
    [InlineData(Confidence.FromMemorySure, 0.8)]
    [InlineData(Confidence.SeenInSecondarySource, 0.8)]
    [InlineData(Confidence.MakersSheet, 1)]
    public void What_nobody_compared_with_the_makers_sheet_counts_for_less_and_says_so(Confidence confidence, double share)
    {
        var limit = new CarefulLimit(new(RatingKind.PlateDissipation, 2.5, RatingSystem.DesignCentre, confidence));
        Assert.Equal(share * 2.5, limit.Value, 12);
        Assert.Equal(share < 1, limit.Because?.StartsWith("80 % of 2.5 W, which is ", StringComparison.Ordinal) ?? false);
    }

    // A row of design-maximum that is remembered as one of design-centre must not come out above the true one: 12AX7 1.2 for 1.0 W, 6AU6 3.5 for 3.0 W (both rows from memory).
    [Theory]
    [InlineData("12AX7")]
    [InlineData("6AU6")]
    public void The_share_takes_back_a_slip_to_the_looser_rating_system(string name)
    {
        var rows = TypeCatalogue.BuiltIn.Find(name)!.Ratings.Where(r => r.Kind == RatingKind.PlateDissipation).ToDictionary(r => r.System);
        Assert.True(new CarefulLimit(rows[RatingSystem.DesignMaximum]).Value <= rows[RatingSystem.DesignCentre].Value);
    }

    [Fact]
    public void A_sure_row_can_be_more_than_a_doubtful_one_that_says_more()
    {
        var type = TypeCatalogue.BuiltIn.Find("6AU6")! with
        {
            Ratings = [new(RatingKind.PlateDissipation, 3.0, RatingSystem.DesignCentre, Confidence.MakersSheet), new(RatingKind.PlateDissipation, 3.5, RatingSystem.DesignMaximum, Confidence.FromMemory)],
        };
        Assert.Equal(2.8, type.Careful(RatingKind.PlateDissipation)!.Value, 12);
    }

    [Fact]
    public void Every_limit_that_comes_from_memory_says_so()
    {
        var limits = TypeCatalogue.BuiltIn.All.SelectMany(t => Enum.GetValues<RatingKind>().Select(t.Careful)).OfType<CarefulLimit>().ToArray();
        Assert.InRange(limits.Length, 200, 1000);
        Assert.All(limits, l => Assert.Equal(l.Row.Confidence != Confidence.MakersSheet, l.Because is not null && l.Value < l.Row.Value));
    }
}
