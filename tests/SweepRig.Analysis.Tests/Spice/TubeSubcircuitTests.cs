using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Spice.FixtureDeck;

namespace SweepRig.Analysis.Tests.Spice;

/// <summary>The exported subcircuit in ngspice beside <c>FixtureSolver</c>. The figure <c>spice-agreement</c> does the same at 200 points.</summary>
[Trait("needs", "ngspice")]
public sealed class TubeSubcircuitTests
{
    private static readonly TubeModel Sound = new(ExampleTubes.Sound6AU6, new Volts(6.3));
    private static readonly TubeModel Weak = new(ExampleTubes.Weak6AU6, new Volts(5.7));

    // Every constant that the others leave at its usual value.
    private static readonly TubeModel Odd = new(
        ExampleTubes.Sound6BH6 with
        {
            GridSpaceSharpness = 2.7, PlateSpaceSharpness = 3.3, EmissionSharpness = 1.7, GasRatio = 3e-4, GridOffset = -0.2,
            PlateShareSlope = 0.4, GridScreenLeakSiemens = 1e-7, GridPlateLeakSiemens = 0, PlateCathodeLeakSiemens = 2e-6,
        },
        new Volts(6.9));

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public async Task A_sweep_agrees_from_cut_off_to_far_positive(ConnectionKind kind)
    {
        var seen = await CompareAsync([new(Sound, With(kind, 28, 10e3, 100, 4.7e3)), new(Weak, With(kind, 28, 47e3, 1e3, 47e3)), new(Odd, With(kind, 45, 22e3, 4.7e3, 1e3))], -14, 26, 11, Cancel);
        Assert.Equal(33, seen.Points);
        Assert.True(seen.Worst < 1e-3, seen.Where);
    }

    [Fact]
    public async Task A_circuit_of_many_tubes_is_found_from_nothing()
    {
        // No sweep that leads there: each drive is met cold, all tubes at once.
        var fixtures = Enumerable.Range(0, 15)
            .Select(n => new Placed((TubeModel[])[Sound, Weak, Odd] is var t ? t[n % 3] : Sound,
                With(n % 2 == 0 ? ConnectionKind.Pentode : ConnectionKind.Triode, 24 + 2 * (n % 4), n % 5 == 0 ? 220e3 : 10e3, 100, n % 4 == 0 ? 1e6 : 4.7e3), -14 + 3 * n))
            .ToList();
        var seen = await CompareAsync(fixtures, 0, 0, 1, Cancel);
        Assert.True(seen.Worst < 1e-3, seen.Where);
        var customary = await CompareAsync(fixtures, 0, 0, 1, Cancel, options: "");
        Assert.True(customary.Worst < 0.02, customary.Where);
    }

    [Fact]
    public async Task A_tube_without_grid_current_gas_and_leakage_is_found_too()
    {
        var bare = new TubeModel(
            ExampleTubes.Sound6AU6 with { GridShare = 0, GridCathodeLeakSiemens = 0, GridScreenLeakSiemens = 0, GridPlateLeakSiemens = 0, PlateCathodeLeakSiemens = 0 },
            new Volts(6.3));
        var seen = await CompareAsync([new(bare, With(ConnectionKind.Pentode, 28, 10e3, 100, 4.7e3))], -14, 2, 9, Cancel);
        Assert.True(seen.Worst < 1e-3, seen.Where);
    }

    [Fact]
    public async Task The_rounded_tail_is_followed_down_to_where_currents_vanish()
    {
        // 1 Gohm in the plate makes 1 pA visible: a plain ln(1 + u) would give no current at all, or a division of 0 by 0.
        var tail = new TubeModel(
            ExampleTubes.Sound6AU6 with { CutoffSpread = 0, GridCathodeLeakSiemens = 0, GridScreenLeakSiemens = 0, GridPlateLeakSiemens = 0, PlateCathodeLeakSiemens = 0 }, new Volts(6.3));
        var seen = await CompareAsync([new(tail, With(ConnectionKind.Pentode, 28, 1e9, 100, 100))], -6, -1, 11, Cancel);
        // The paths of 1 Tohm, which the model does not have, take up to 28 mV here.
        Assert.True(seen.Worst < 0.03, seen.Where);
        Assert.InRange(seen.Answer.Rows[0][3], 27.9, 28);
        Assert.InRange(seen.Answer.Rows[^1][3], -1, 1);
    }

    [Fact]
    public async Task Screen_and_plate_without_supply_do_no_harm()
    {
        var seen = await CompareAsync([new(Sound, With(ConnectionKind.Pentode, 0, 10e3, 100, 4.7e3))], -14, 14, 9, Cancel);
        Assert.True(seen.Worst < 1e-3, seen.Where);
    }
}
