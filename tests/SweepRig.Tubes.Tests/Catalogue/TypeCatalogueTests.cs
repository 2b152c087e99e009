using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

public class TypeCatalogueTests
{
    public static TheoryData<string> Names => [.. TypeCatalogue.All.Select(t => t.Name)];

    [Fact]
    public void The_types_of_the_bench_are_there() => Assert.Equal(
        ["EF91", "6BH6", "6AU6", "6AK5", "6CB6", "EF80", "6BA6", "6J6", "12AU7", "12AT7", "6BE6"],
        TypeCatalogue.All.Select(t => t.Name));

    [Theory]
    [InlineData("EF94", "6AU6")]
    [InlineData("ef95", "6AK5")]
    [InlineData(" 5654 ", "6AK5")]
    [InlineData("6AM6", "EF91")]
    [InlineData("6BX6", "EF80")]
    [InlineData("EF93", "6BA6")]
    [InlineData("ECC82", "12AU7")]
    [InlineData("ECC81", "12AT7")]
    [InlineData("ECC91", "6J6")]
    [InlineData("EK90", "6BE6")]
    [InlineData("6bh6", "6BH6")]
    public void An_alias_finds_its_type(string alias, string name) => Assert.Equal(name, TypeCatalogue.Find(alias)?.Name);

    [Fact]
    public void An_unknown_name_finds_nothing() => Assert.Null(TypeCatalogue.Find("6AU7A-X"));

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_type_is_complete(string name)
    {
        var type = TypeCatalogue.Find(name)!;
        Assert.NotEmpty(type.Heaters);
        Assert.Contains(type.Heaters, h => h.Voltage.Value == 6.3);
        Assert.NotNull(type.Limit(RatingKind.PlateVoltage));
        Assert.NotNull(type.Limit(RatingKind.PlateDissipation));
        Assert.NotNull(type.Limit(RatingKind.HeaterCathodeVoltage));
        Assert.All(type.Ratings, r => Assert.True(r.Value > 0));
        Assert.Equal(type.Kind != TubeKind.DoubleTriode, type.Limit(RatingKind.ScreenDissipation) is not null);
        // 7xx is the miniature seven-pin base, 9xx the noval; two heater pins each.
        Assert.Equal(type.Basing.Code[0] - '0', type.Basing.Pins.Count);
        Assert.Equal(2, type.Basing.Pins.Count(p => p == "h"));
        Assert.Contains(type.Basing.Pins, p => p.StartsWith('p'));
        Assert.Contains(type.Basing.Pins, p => p.StartsWith("g1", StringComparison.Ordinal));
    }

    // EIA RS-239-A (1963): design-maximum leaves less in hand than design-centre, absolute-maximum least; so the values of one kind rise in that order.
    [Theory]
    [MemberData(nameof(Names))]
    public void Limits_of_one_kind_rise_from_system_to_system(string name)
    {
        foreach (var kind in TypeCatalogue.Find(name)!.Ratings.GroupBy(r => r.Kind))
        {
            Assert.Equal(kind.Count(), kind.Select(r => r.System).Distinct().Count());
            var rising = kind.OrderBy(r => r.System).Select(r => r.Value).ToArray();
            Assert.Equal(rising.Order(), rising);
        }
    }

    // From memory of common tables.
    [Fact]
    public void The_most_careful_limit_is_given()
    {
        var type = TypeCatalogue.Find("6AU6")!;
        Assert.Equal(3.0, type.Limit(RatingKind.PlateDissipation));
        Assert.Equal(0.65, type.Limit(RatingKind.ScreenDissipation));
        Assert.Equal(18e-3, TypeCatalogue.Find("6AK5")!.Limit(RatingKind.CathodeCurrent));
        Assert.Null(type.Limit(RatingKind.CathodeCurrent));
    }

    [Fact]
    public void Example_constants_are_in_range() =>
        Assert.All(TypeCatalogue.All.Select(t => t.Example).Append(ExampleTubes.Weak6AU6).OfType<SweepRig.Tubes.Model.TubeParameters>(), p => Assert.Empty(p.Faults()));
}
