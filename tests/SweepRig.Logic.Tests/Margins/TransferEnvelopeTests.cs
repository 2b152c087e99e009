using SweepRig.Logic.Margins;

namespace SweepRig.Logic.Tests.Margins;

public sealed class TransferEnvelopeTests
{
    [Fact]
    public void No_two_of_the_stages_have_less_than_the_envelope()
    {
        Transfer[] curves = [Step(1.0), Step(1.15), Step(0.9)];
        var envelope = TransferEnvelope.Of(curves, 401);
        var (side, x, y) = envelope.Square();
        Assert.True(side > 0);
        foreach (var first in curves)
            foreach (var second in curves)
            {
                var levels = ChainLevels.Of(first, second);
                Assert.True(SquareMargins.Of(first, second, levels).Smaller >= side - 1e-3);
                Assert.True(levels.Low <= envelope.Levels.Low + 1e-3 && levels.HighOfSecond >= envelope.Levels.HighOfSecond - 1e-3);
            }
        // Its corner lies on the border of the eye: x is the highest output at y.
        Assert.Equal(x, envelope.Highest.At(y), 6);
    }

    [Fact]
    public void Of_one_stage_it_is_the_stage()
    {
        var curve = Step(1);
        var envelope = TransferEnvelope.Of([curve], 101);
        Assert.Equal(SquareMargins.Of(curve, curve, ChainLevels.Of(curve, curve)).FirstLow, envelope.Square().Side, 9);
        Assert.Throws<ArgumentException>(() => TransferEnvelope.Of([], 101));
    }

    private static Transfer Step(double middle) => new(0, 2, x => 1 - Math.Tanh(6 * (x - middle)), x => -6 / Math.Pow(Math.Cosh(6 * (x - middle)), 2));
}
