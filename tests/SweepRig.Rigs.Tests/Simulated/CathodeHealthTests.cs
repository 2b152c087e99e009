using SweepRig.Rigs.Simulated.Physics;
using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>What positive drive, hours and switchings take from a simulated cathode, against the closed forms of the model.</summary>
public sealed class CathodeHealthTests
{
    private const long Second = 1_000_000, Hour = 3_600 * Second;

    [Theory]
    [InlineData(0.5e-3)]
    [InlineData(1e-3)]
    public void A_grid_within_what_it_bears_costs_nothing(double watts)
    {
        var health = new CathodeHealth(new(1e-3, 1e-3, 0.5, 30), null);
        for (var s = 1; s <= 100; s++) health.Pass(s * Second, true, watts);
        Assert.Equal(1, health.Emission);
    }

    [Fact]
    public void A_small_loss_is_energy_over_energy_and_its_part_comes_back()
    {
        // 0.01 mJ beyond the threshold of 1 mW, on 1 mJ: 1 % of the emission, of which 0.3 stays.
        var health = new CathodeHealth(new(1e-3, 1e-3, 0.3, 30), null);
        health.Pass(10_000, true, 2e-3);
        Assert.Equal(Math.Exp(-0.01), health.Emission, 3e-5);
        health.Pass(10_000 + 30 * Second, true, 0);
        Assert.Equal(Math.Exp(-0.003 - 0.007 / Math.E), health.Emission, 3e-5);
        health.Pass(10_000 + 1_000 * Second, true, 0);
        Assert.Equal(Math.Exp(-0.003), health.Emission, 3e-5);
    }

    [Fact]
    public void No_drive_takes_more_than_to_a_twentieth_and_a_cold_cathode_loses_nothing()
    {
        var health = new CathodeHealth(new(0, 1e-6, 1, 30), null);
        health.Pass(Second, false, 1);
        Assert.Equal(1, health.Emission);
        for (var s = 2; s < 100; s++) health.Pass(s * Second, true, 1);
        Assert.InRange(health.Emission, 0.049, 0.0499);
    }

    [Fact]
    public void Hours_and_switchings_wear_and_the_heater_breaks_when_it_must()
    {
        var health = new CathodeHealth(null, new(10, 0.02, 3));
        health.SwitchOn();
        health.Pass(5 * Hour, true, 0);
        health.Pass(50 * Hour, false, 0);
        Assert.Equal(0.98 * Math.Exp(-0.5), health.Emission, 6);
        health.SwitchOn();
        Assert.False(health.HeaterBroken);
        health.SwitchOn();
        Assert.True(health.HeaterBroken);
        Assert.Equal(Math.Pow(0.98, 3) * Math.Exp(-0.5), health.Emission, 6);
    }

    [Fact]
    public void Kinds_that_only_studies_show_are_found_by_name_and_are_in_no_lot()
    {
        Assert.All(DefectKinds.Slow, k => Assert.Same(k, DefectKinds.Find(k.Name)));
        Assert.Empty(DefectKinds.Slow.Select(k => k.Name).Intersect(DefectKinds.All.Select(k => k.Name)));
        Assert.Equal(14, DefectKinds.All.Count);
        foreach (var kind in DefectKinds.Slow)
            for (var seed = 0; seed < 20; seed++) Assert.NotEqual(Sound, kind.Draw(seed).Apply(Sound));
    }

    private static readonly Specimen Sound = new(SweepRig.Tubes.Catalogue.ExampleTubes.Sound6AU6, TubeBehaviour.None);
}
