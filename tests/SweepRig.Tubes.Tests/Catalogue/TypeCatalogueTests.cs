using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

public class TypeCatalogueTests
{
    public static TheoryData<string> Names => [.. TypeCatalogue.BuiltIn.All.Select(t => t.Name)];

    public static TheoryData<string> Swept => [.. TypeCatalogue.BuiltIn.All.Where(t => t.NotSweptBecause is null).Select(t => t.Name)];

    [Theory]
    [InlineData(TubeKind.SharpCutoffPentode, 15)]
    [InlineData(TubeKind.RemoteCutoffPentode, 8)]
    [InlineData(TubeKind.PowerPentode, 3)]
    [InlineData(TubeKind.Triode, 5)]
    [InlineData(TubeKind.DoubleTriode, 12)]
    [InlineData(TubeKind.TriodePentode, 2)]
    [InlineData(TubeKind.Pentagrid, 4)]
    [InlineData(TubeKind.Diode, 4)]
    [InlineData(TubeKind.GasFilled, 6)]
    public void What_turns_up_in_mixed_lots_is_there(TubeKind kind, int least) => Assert.InRange(TypeCatalogue.BuiltIn.All.Count(t => t.Kind == kind), least, 100);

    [Theory]
    [InlineData("0A2", "radioactive")]
    [InlineData("866", "mercury")]
    public void A_harmful_filling_comes_with_its_caution_and_no_sweep(string name, string danger)
    {
        var type = TypeCatalogue.BuiltIn.Find(name)!;
        Assert.Contains(danger, type.Caution, StringComparison.Ordinal);
        Assert.NotNull(type.NotSweptBecause);
    }

    [Fact]
    public void What_has_no_grid_or_is_filled_is_not_swept() =>
        Assert.All(TypeCatalogue.BuiltIn.All, t => Assert.Equal(t.Kind is TubeKind.Diode or TubeKind.GasFilled, t.NotSweptBecause is not null));

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
    public void An_alias_finds_its_type(string alias, string name) => Assert.Equal(name, TypeCatalogue.BuiltIn.Find(alias)?.Name);

    [Fact]
    public void An_unknown_name_finds_nothing() => Assert.Null(TypeCatalogue.BuiltIn.Find("6AU7A-X"));

    [Theory]
    [MemberData(nameof(Swept))]
    public void Each_type_that_is_swept_is_complete(string name)
    {
        var type = TypeCatalogue.BuiltIn.Find(name)!;
        Assert.NotEmpty(type.Heaters);
        Assert.NotNull(type.Limit(RatingKind.PlateVoltage));
        Assert.NotNull(type.Limit(RatingKind.PlateDissipation));
        Assert.Equal(type.IsDirectlyHeated, type.Limit(RatingKind.HeaterCathodeVoltage) is null);
        var hasScreen = type.Kind is not (TubeKind.Triode or TubeKind.DoubleTriode);
        Assert.Equal(hasScreen, type.Limit(RatingKind.ScreenDissipation) is not null);
        Assert.Contains(type.Basing.Pins, p => p.StartsWith('p'));
        Assert.True(name == "6J7" || type.Basing.Pins.Any(p => p.StartsWith("g1", StringComparison.Ordinal)), "6J7 has its grid on the cap");
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_base_has_its_pins(string name)
    {
        var type = TypeCatalogue.BuiltIn.Find(name)!;
        Assert.Equal(type.Basing.Name switch { "B7G" => 7, "B9A" => 9, "octal" => 8, _ => 4 }, type.Basing.Pins.Count);
        if (!type.IsDirectlyHeated && type.Heaters.Count > 0) Assert.Equal(2, type.Basing.Pins.Count(p => p == "h"));
        Assert.Equal(type.Heaters.Count > 1, type.Basing.Pins.Contains("ht"));
        Assert.All(type.Ratings, r => Assert.True(r.Value > 0));
    }

    // mu = gm x rp holds of every triode whatever its size (Barkhausen); tables round each to two or three digits.
    [Fact]
    public void Typical_points_of_triodes_agree_with_themselves()
    {
        var points = TypeCatalogue.BuiltIn.All.SelectMany(t => t.TypicalPoints.Where(p => p.Mu is not null && p.PlateKilohms is not null).Select(p => (t.Name, Point: p))).ToArray();
        Assert.InRange(points.Length, 20, 100);
        Assert.All(points, p => Assert.True(Math.Abs(p.Point.MilliampsPerVolt * p.Point.PlateKilohms!.Value / p.Point.Mu!.Value - 1) < 0.08, $"{p.Name}: {p.Point}"));
    }

    // A new tube at a published point is within its own limits of power, or the point or the limit is remembered wrongly.
    [Fact]
    public void Typical_points_are_within_the_limits_of_their_type() => Assert.All(
        TypeCatalogue.BuiltIn.All.SelectMany(t => t.TypicalPoints.Select(p => (Type: t, Point: p))), p =>
        {
            Assert.True(p.Point.PlateVolts * p.Point.PlateMilliamperes / 1000 <= p.Type.Limit(RatingKind.PlateDissipation), $"{p.Type.Name}: {p.Point}");
            if (p.Point.ScreenVolts is { } screen)
                Assert.True(screen * p.Point.ScreenMilliamperes / 1000 <= p.Type.Limit(RatingKind.ScreenDissipation), $"{p.Type.Name}: {p.Point}");
            if (p.Type.Limit(RatingKind.CathodeCurrent) is { } most)
                Assert.True((p.Point.PlateMilliamperes + (p.Point.ScreenMilliamperes ?? 0)) / 1000 <= most, $"{p.Type.Name}: {p.Point}");
        });

    // EIA RS-239-A (1963): design-maximum leaves less in hand than design-centre, absolute-maximum least; so the values of one kind rise in that order.
    [Theory]
    [MemberData(nameof(Names))]
    public void Limits_of_one_kind_rise_from_system_to_system(string name)
    {
        foreach (var kind in TypeCatalogue.BuiltIn.Find(name)!.Ratings.GroupBy(r => r.Kind))
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
        var type = TypeCatalogue.BuiltIn.Find("6AU6")!;
        Assert.Equal(3.0, type.Limit(RatingKind.PlateDissipation));
        Assert.Equal(0.65, type.Limit(RatingKind.ScreenDissipation));
        Assert.Equal(18e-3, TypeCatalogue.BuiltIn.Find("6AK5")!.Limit(RatingKind.CathodeCurrent));
        Assert.Null(type.Limit(RatingKind.CathodeCurrent));
    }

    [Fact]
    public void Example_constants_are_in_range() =>
        Assert.All(TypeCatalogue.BuiltIn.All.Select(t => t.Example).Append(ExampleTubes.Weak6AU6).OfType<SweepRig.Tubes.Model.TubeParameters>(), p => Assert.Empty(p.Faults()));
}
