using System.Numerics;

namespace SweepRig.Analysis.Uncertainty;

/// <summary>
/// Random numbers that are the same for a seed on every machine and in every version: xoshiro256** of Blackman and Vigna (ACM Trans. Math. Softw. 47 (2021) 36),
/// seeded by splitmix64. Its period of 2^256 - 1 is what JCGM 101:2008, C.3 asks for.
/// </summary>
public sealed class RandomStream
{
    private ulong _a, _b, _c, _d;
    private double _spare = double.NaN;

    public RandomStream(ulong seed)
    {
        ulong Next()
        {
            var z = seed += 0x9E3779B97F4A7C15;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
        (_a, _b, _c, _d) = (Next(), Next(), Next(), Next());
    }

    /// <summary>Between 0 and 1, neither of them.</summary>
    public double Uniform()
    {
        var result = BitOperations.RotateLeft(_b * 5, 7) * 9;
        var shifted = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= shifted;
        _d = BitOperations.RotateLeft(_d, 45);
        return ((result >> 11) + 0.5) * (1.0 / (1UL << 53));
    }

    /// <summary>Mean 0, standard deviation 1 (Box and Muller 1958).</summary>
    public double Normal()
    {
        if (!double.IsNaN(_spare))
        {
            var kept = _spare;
            _spare = double.NaN;
            return kept;
        }
        var radius = Math.Sqrt(-2 * Math.Log(Uniform()));
        var (sine, cosine) = Math.SinCos(2 * Math.PI * Uniform());
        _spare = radius * sine;
        return radius * cosine;
    }

    /// <summary>Student's distribution.</summary>
    /// <param name="degreesOfFreedom">1 or more; infinite for the normal one.</param>
    public double Student(double degreesOfFreedom) => double.IsInfinity(degreesOfFreedom)
        ? Normal()
        : Normal() / Math.Sqrt(2 * Gamma(degreesOfFreedom / 2) / degreesOfFreedom);

    /// <summary>One error of an input, in its unit.</summary>
    public double Error(EstimatedQuantity input)
    {
        ArgumentNullException.ThrowIfNull(input);
        var u = input.StandardUncertainty;
        return u == 0 ? 0 : input.Shape switch
        {
            ErrorShape.Normal => u * Student(input.DegreesOfFreedom),
            ErrorShape.Rectangular => u * Math.Sqrt(3) * (2 * Uniform() - 1),
            ErrorShape.Triangular => u * Math.Sqrt(6) * (Uniform() + Uniform() - 1),
            ErrorShape.Arcsine => u * Math.Sqrt(2) * Math.Sin(2 * Math.PI * Uniform()),
            _ => throw new ArgumentException($"SweepRig bug: {input.Shape} has no errors.", nameof(input)),
        };
    }

    /// <summary>Gamma distribution of scale 1 (Marsaglia and Tsang, ACM Trans. Math. Softw. 26 (2000) 363).</summary>
    private double Gamma(double shape)
    {
        if (shape < 1) return Gamma(shape + 1) * Math.Pow(Uniform(), 1 / shape);
        var d = shape - 1.0 / 3;
        var c = 1 / Math.Sqrt(9 * d);
        while (true)
        {
            var x = Normal();
            var v = 1 + c * x;
            if (v <= 0) continue;
            v = v * v * v;
            if (Math.Log(Uniform()) < 0.5 * x * x + d - d * v + d * Math.Log(v)) return d * v;
        }
    }
}
