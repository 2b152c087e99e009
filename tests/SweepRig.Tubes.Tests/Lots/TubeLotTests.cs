using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Tubes.Tests.Lots;

public class TubeLotTests
{
    private static readonly LotRecipe Recipe = new("SKUA", ExampleTubes.Sound6AU6, 60, 15);

    [Fact]
    public void The_same_seed_gives_the_same_lot_and_another_seed_another()
    {
        Assert.Equal(TubeLot.Draw(Recipe, 3).Tubes.Select(t => t.New), TubeLot.Draw(Recipe, 3).Tubes.Select(t => t.New));
        Assert.Equal(TubeLot.Draw(Recipe, 3).Tubes.Select(t => t.Fault), TubeLot.Draw(Recipe, 3).Tubes.Select(t => t.Fault));
        Assert.NotEqual(TubeLot.Draw(Recipe, 3).Tubes[0].New, TubeLot.Draw(Recipe, 4).Tubes[0].New);
    }

    [Fact]
    public void As_many_are_defective_as_asked_and_every_kind_appears()
    {
        var lot = TubeLot.Draw(Recipe, 5);
        Assert.Equal(60, lot.Tubes.Count);
        var bad = lot.Tubes.Where(t => t.Defect is not null).ToList();
        Assert.Equal(15, bad.Count);
        Assert.Equal(DefectKinds.All.Count, bad.Select(t => t.Defect).Distinct().Count());
        Assert.Equal("SKUA-060", lot.Tubes[^1].Label);
    }

    [Fact]
    public void Sound_tubes_do_not_change_with_the_number_of_bad_ones()
    {
        var few = TubeLot.Draw(Recipe with { Defective = 0 }, 5);
        var many = TubeLot.Draw(Recipe, 5);
        Assert.Equal(few.Tubes.Select(t => t.New), many.Tubes.Select(t => t.New));
    }

    [Fact]
    public void Whatever_the_defect_the_constants_stay_in_range()
    {
        var lots = Enumerable.Range(0, 40).Select(seed => TubeLot.Draw(Recipe with { Defective = 60 }, seed));
        Assert.All(lots.SelectMany(l => l.Tubes), t => Assert.Empty(t.Specimen.Parameters.Faults()));
    }

    [Fact]
    public void Age_takes_emission_and_adds_leakage()
    {
        var young = new TubeAge(0, 0).Apply(new(ExampleTubes.Sound6AU6, TubeBehaviour.None));
        var old = new TubeAge(4_000, 2_000).Apply(new(ExampleTubes.Sound6AU6, TubeBehaviour.None));
        Assert.Equal(ExampleTubes.Sound6AU6, young.Parameters);
        Assert.InRange(old.Parameters.Emission / young.Parameters.Emission, 0.5, 0.7);
        Assert.True(old.Parameters.GridCathodeLeakSiemens > 4 * young.Parameters.GridCathodeLeakSiemens);
        Assert.Equal(40, old.Behaviour.Interface!.Ohms, 9);
        Assert.Null(young.Behaviour.Interface);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(5, 6)]
    [InlineData(5, -1)]
    public void A_recipe_that_cannot_be_is_refused_with_the_numbers(int count, int defective)
    {
        var fault = Assert.Throws<ArgumentException>(() => TubeLot.Draw(Recipe with { Count = count, Defective = defective }, 1));
        Assert.Contains($"{count} tubes with {defective}", fault.Message, StringComparison.Ordinal);
    }
}
