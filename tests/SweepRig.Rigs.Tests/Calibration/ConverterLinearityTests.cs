using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated.Physics;

namespace SweepRig.Rigs.Tests.Calibration;

/// <summary>
/// The simulated converter tested as IEEE Std 1241 defines it, from a slow ramp: code transition level T[k] is where the output passes from k-1 to k; Q is the ideal width of
/// a code; DNL[k] = (T[k+1] - T[k] - Q)/Q; INL[k] is the distance of T[k] from the line that is left after gain and offset are taken out, in Q. Gain and offset are
/// the independently based ones (the straight line that fits the T[k] best). Definitions from memory of the standard.
/// </summary>
public sealed class ConverterLinearityTests
{
    private const int StepsInCode = 64;

    private static readonly ChannelScale Scale = new(RigChannel.Plate, 12, 4, new(0), new(40.95));

    [Theory]
    [InlineData(0)]
    [InlineData(0.05)]
    [InlineData(-0.12)]
    public void Inl_and_dnl_come_back_from_a_ramp(double bowVolts)
    {
        var converter = new Converter(Scale, 1.006, 0.021, bowVolts, noiseVolts: 0);
        var transitions = Transitions(converter);
        var (gain, offset) = BestLine(transitions);
        var q = Scale.StepVolts;
        var inl = transitions.Select(t => (t.Volts - (offset + gain * t.Code)) / q).ToArray();
        var dnl = transitions.Zip(transitions.Skip(1)).Select(p => (p.Second.Volts - p.First.Volts) / (gain) - 1).ToArray();

        // What the bow puts in: -bow (t - t³)/Peak over the gain at the transition, less the best line through it.
        var built = transitions.Select(t => (t.Code, Volts: Departure(t.Volts, bowVolts))).ToArray();
        var (builtGain, builtOffset) = BestLine(built);
        for (var k = 0; k < inl.Length; k += 97)
            Assert.Equal((built[k].Volts - builtOffset - builtGain * built[k].Code) / q, inl[k], 0.06);
        // A transition is known to 1/64 of a code, a width to twice that; the bow bends a code of 10 mV by less than 1 %.
        Assert.All(dnl, d => Assert.InRange(d, -0.06, 0.06));
        var peak = inl.Max(Math.Abs);
        if (bowVolts == 0) Assert.InRange(peak, 0, 0.04);
        else Assert.InRange(peak, 0.3 * Math.Abs(bowVolts) / q, Math.Abs(bowVolts) / q);
    }

    [Fact]
    public void Offset_and_gain_come_back_too()
    {
        var transitions = Transitions(new Converter(Scale, 1.006, 0.021, 0, noiseVolts: 0));
        var (gain, offset) = BestLine(transitions);
        // T[k] = ((k - ½) Q - offset) / gain for a converter that rounds to the nearest code.
        Assert.Equal(Scale.StepVolts / 1.006, gain, 1e-6);
        Assert.Equal((-0.5 * Scale.StepVolts - 0.021) / 1.006, offset, 2e-3);
    }

    [Fact]
    public void No_code_is_missing_and_none_goes_back()
    {
        var codes = Transitions(new Converter(Scale, 0.994, -0.03, 0.1, noiseVolts: 0)).Select(t => t.Code).ToArray();
        Assert.Equal(Enumerable.Range(codes[0], codes.Length), codes);
    }

    private static (int Code, double Volts)[] Transitions(Converter converter)
    {
        var noise = new NormalNoise(1);
        var step = Scale.StepVolts / StepsInCode;
        var found = new List<(int, double)>();
        var before = converter.Convert(0.5, noise);
        for (var volts = 0.5; volts < 40; volts += step)
        {
            var code = converter.Convert(volts, noise);
            Assert.InRange(code, before, before + 1);
            if (code > before) found.Add((code, volts - step / 2));
            before = code;
        }
        return [.. found];
    }

    private static double Departure(double volts, double bow)
    {
        var t = (volts - 20.475) / 20.475;
        return -bow / 0.3849 * (t - t * t * t) / 1.006;
    }

    private static (double Gain, double Offset) BestLine(IReadOnlyList<(int Code, double Volts)> points)
    {
        var (x, y) = (points.Average(p => p.Code), points.Average(p => p.Volts));
        var gain = points.Sum(p => (p.Code - x) * (p.Volts - y)) / points.Sum(p => (p.Code - x) * (p.Code - x));
        return (gain, y - gain * x);
    }
}
