using SweepRig.Logic.Margins;

namespace SweepRig.Logic.Tests.Margins;

/// <summary>Margins of curves whose margins can be written down.</summary>
public sealed class ClosedFormTests
{
    /// <summary>
    /// Vo = Vm - H tanh(g (Vi - Vm)/H): VIL and VIH are Vm -+ (H/g) arccosh(sqrt g), both margins and the largest square H sqrt(1 - 1/g) - (H/g) arccosh(sqrt g),
    /// levels Vm -+ d with d/H = tanh(g d/H). Derived from the definitions; that the square equals the unity-gain margin here is Lohstroh 1983 for a symmetric case.
    /// </summary>
    [Theory]
    [InlineData(4, 11, 3.6216342, 5.9046452, 10.9925824)]
    [InlineData(2, 11, 4.8475547, 2.9306199, 10.5325443)]
    [InlineData(10, 11, 2.0002911, 8.4352252, 11.0)]
    [InlineData(1.5, 11, 4.8288456, 1.5220073, 9.4441560)]
    [InlineData(4, 1, 0.3292395, 0.5367859, 0.9993257)]
    public void A_tanh_inverter_has_its_closed_form(double gain, double half, double unity, double margin, double level)
    {
        var curve = Tanh(12, gain, half);
        var levels = ChainLevels.Of(curve, curve);
        Assert.Equal(12 - level, levels.Low, 1e-6);
        Assert.Equal(12 + level, levels.High, 1e-6);
        Assert.Equal(12, levels.Middle, 1e-6);
        Assert.Equal(gain * gain, levels.LoopGain, 1e-6);
        var at = UnityMargins.Of(curve);
        Assert.Equal(12 - unity, at.InputLow!.Value, 1e-6);
        Assert.Equal(12 + unity, at.InputHigh!.Value, 1e-6);
        // With the outputs taken at VIH and VIL themselves.
        Assert.Equal(margin, at.MarginLow(curve.At(at.InputHigh.Value))!.Value, 1e-6);
        Assert.Equal(margin, at.MarginHigh(curve.At(at.InputLow.Value))!.Value, 1e-6);
        var squares = SquareMargins.Of(curve, curve, levels);
        Assert.Equal(margin, squares.FirstLow, 1e-6);
        Assert.Equal(margin, squares.FirstHigh, 1e-6);
    }

    /// <summary>Three straight pieces: the square is (max(NML, NMH) + g min(NML, NMH))/(1 + g), from the geometry of the two corners; 5.5, 8.25 and 9.9 V for H = 11 V.</summary>
    [Theory]
    [InlineData(2, 22, 8, 13, 6.6)]
    [InlineData(2, 22, 11, 16, 6.6)]
    [InlineData(1, 23, 6.5, 17.5, 5.5)]
    [InlineData(1, 23, 9.25, 14.75, 8.25)]
    [InlineData(1, 23, 10.9, 13.1, 9.9)]
    public void Three_straight_pieces_have_their_square(double low, double high, double inputLow, double inputHigh, double square)
    {
        var curve = Straight(low, high, inputLow, inputHigh);
        var squares = SquareMargins.Of(curve, curve, ChainLevels.Of(curve, curve));
        Assert.Equal(square, squares.FirstLow, 1e-4);
        Assert.Equal(square, squares.FirstHigh, 1e-4);
    }

    [Fact]
    public void A_chain_that_amplifies_too_little_has_neither_levels_nor_squares()
    {
        var curve = Tanh(12, 0.9, 11);
        var levels = ChainLevels.Of(curve, curve);
        Assert.False(levels.Restores);
        Assert.Equal(0, SquareMargins.Of(curve, curve, levels).Smaller);
        var unity = UnityMargins.Of(curve);
        Assert.Null(unity.InputLow);
        Assert.Contains("does not reach -1", unity.Says, StringComparison.Ordinal);
    }

    /// <summary>
    /// A triode of the three-halves law, 1 mA/V^1.5, mu 20, 22 kohm to 24 V, has VIL at -1.19894682 V where its conductance is 1/(RL (1 - 1/mu)), and no second point of gain -1 for a grid
    /// below 0 V, which has to be said and not guessed.
    /// </summary>
    [Fact]
    public void A_triode_kept_below_zero_has_no_second_point()
    {
        var curve = new Transfer(-2, 0, Triode, x => (Triode(x + 1e-6) - Triode(x - 1e-6)) / 2e-6);
        Assert.Equal(12.772405, curve.At(0), 1e-6);
        var unity = UnityMargins.Of(curve);
        Assert.Equal(-1.19894682, unity.InputLow!.Value, 1e-5);
        Assert.Null(unity.InputHigh);
        Assert.Contains("no second point of gain -1", unity.Says, StringComparison.Ordinal);
    }

    [Fact]
    public void A_state_goes_when_the_noise_in_series_reaches_the_square()
    {
        // Lohstroh 1983: adverse noise in series with both inputs. Two unlike curves, so that nothing is owed to symmetry.
        var (first, second) = (Tanh(11, 5, 10), Tanh(13, 3, 9));
        var levels = ChainLevels.Of(first, second);
        var squares = SquareMargins.Of(first, second, levels);
        foreach (var (share, holds) in (ReadOnlySpan<(double, bool)>)[(0.999, true), (1.001, false)])
        {
            Assert.Equal(holds, Holds(share * squares.FirstLow, levels.Low));
            Assert.Equal(holds, Holds(-share * squares.FirstHigh, levels.High));
        }

        bool Holds(double noise, double x)
        {
            for (var n = 0; n < 100_000; n++) x = second.At(Math.Clamp(first.At(Math.Clamp(x + noise, -5, 30)) - noise, -5, 30));
            return x < levels.Middle == noise > 0;
        }
    }

    private static Transfer Tanh(double middle, double gain, double half) => new(middle - 1.3 * half - 1, middle + 1.3 * half + 1,
        x => middle - half * Math.Tanh(gain * (x - middle) / half),
        x => -gain / Math.Pow(Math.Cosh(gain * (x - middle) / half), 2));

    private static Transfer Straight(double low, double high, double inputLow, double inputHigh)
    {
        var gain = (high - low) / (inputHigh - inputLow);
        return new(0, 24, x => high - gain * (Math.Clamp(x, inputLow, inputHigh) - inputLow), x => x > inputLow && x < inputHigh ? -gain : 0);
    }

    private static double Triode(double grid)
    {
        double low = 0, high = 24;
        for (var n = 0; n < 80; n++)
        {
            var plate = 0.5 * (low + high);
            var current = 1e-3 * Math.Pow(Math.Max(0, grid + plate / 20), 1.5);
            if (24 - 22_000 * current > plate) low = plate;
            else high = plate;
        }
        return 0.5 * (low + high);
    }
}
