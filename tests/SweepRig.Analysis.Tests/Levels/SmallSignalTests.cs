using SweepRig.Analysis.Levels;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Laws;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>gm, rp and mu from several curves of one tube.</summary>
public class SmallSignalTests
{
    // Three-halves law of Langmuir and van der Bijl, G 1.5 mA/V^1.5, mu 20: at 24 V and Vg 0 it has I 1.97180 mA, gm 2.46475 mS, rp 8114.41 ohm.
    private static readonly TriodeLaw Law = new(1.5e-3, 20);

    private static TubeCurve Tube(double rail, double ohms, double noise = 0, int seed = 1, ConnectionKind kind = ConnectionKind.Triode)
    {
        double Output(double grid)
        {
            double low = 0, high = rail;
            for (var i = 0; i < 100; i++)
            {
                var plate = (low + high) / 2;
                if (rail - ohms * Law.Current(plate, grid) > plate) low = plate;
                else high = plate;
            }
            return (low + high) / 2;
        }
        var curve = Curves.Of(Curves.Even(-3, 0.4, 0.02), Output, noise, seed, supply: rail);
        curve = curve with { PlateCurrent = Array.ConvertAll(curve.Plate, v => (rail - v) / ohms), Pass = curve.Pass with { SecondSourceVolts = rail } };
        var connection = Curves.Connection with { Kind = kind, PlateRail = new Volts(rail), PlateResistor = new Ohms(ohms) };
        var known = Curves.Known(Curves.Exact);
        return new(curve, connection, known with { Resistors = [known.Resistors[0] with { Ohms = ohms }, known.Resistors[1], known.Resistors[2]] });
    }

    [Fact]
    public void Two_rails_tell_the_worked_triode()
    {
        var at = SmallSignalFinder.At([Tube(43.2, 10_000), Tube(44.2, 10_000)], 0, Curves.Options);
        Assert.Equal(24, at.PlateVolts.Value!.Value, 0.05);
        Assert.Equal(2.46475e-3, at.Transconductance.Value!.Value, 0.005e-3);
        Assert.Equal(8114.41, at.PlateResistance.Value!.Value, 15.0);
        Assert.Equal(20, at.Mu.Value!.Value, 0.03);
        // mu = gm · rp, and Barkhausen's S·D·Ri = 1.
        Assert.Equal(at.Mu.Value.Value, at.Transconductance.Value.Value * at.PlateResistance.Value.Value, 1e-6);
    }

    [Fact]
    public void Two_plate_resistors_at_one_rail_do_as_well()
    {
        var at = SmallSignalFinder.At([Tube(40, 8_200), Tube(40, 10_000)], 0, Curves.Options);
        var plate = at.PlateVolts.Value!.Value;
        Assert.Equal(1.5 * 1.5e-3 * Math.Sqrt(plate / 20), at.Transconductance.Value!.Value, 0.02e-3);
        Assert.Equal(20, at.Mu.Value!.Value, 0.15);
    }

    [Fact]
    public void Noise_shows_in_the_uncertainty()
    {
        const int seeds = 60;
        var inside = 0;
        for (var seed = 0; seed < seeds; seed++)
        {
            var at = SmallSignalFinder.At([Tube(40, 10_000, 0.003, 2 * seed), Tube(48, 10_000, 0.003, 2 * seed + 1)], -1, Curves.Options);
            if (Math.Abs(at.Mu.Value!.Value - 20) <= at.Mu.ExpandedUncertainty + 0.05) inside++;
        }
        Assert.InRange(inside, 0.88 * seeds, seeds);
    }

    [Fact]
    public void What_one_curve_or_a_moving_screen_cannot_tell_is_said_with_the_sweep_that_would()
    {
        Assert.Contains("sweep again with another plate resistor", SmallSignalFinder.At([Tube(43, 10_000)], 0, Curves.Options).Mu.AbsentBecause, StringComparison.Ordinal);
        var pentodes = new[] { Tube(30, 10_000, kind: ConnectionKind.Pentode), Tube(40, 10_000, kind: ConnectionKind.Pentode) };
        Assert.Contains("the screen moves with the plate rail", SmallSignalFinder.At(pentodes, 0, Curves.Options).PlateResistance.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("less than", SmallSignalFinder.At([Tube(43, 10_000), Tube(43, 10_010)], 0, Curves.Options).Mu.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("while the tube conducts", SmallSignalFinder.At([Tube(24, 10_000), Tube(25, 10_000)], -2.5, Curves.Options).Mu.AbsentBecause, StringComparison.Ordinal);
    }
}
