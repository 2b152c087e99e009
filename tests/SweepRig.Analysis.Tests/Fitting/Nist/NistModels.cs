namespace SweepRig.Analysis.Tests.Fitting.Nist;

/// <summary>Value of a model, with its derivatives by the parameters.</summary>
internal delegate double NistModel(double[] x, ReadOnlySpan<double> b, Span<double> gradient);

/// <summary>The models as stated in the files of the NIST Statistical Reference Datasets, with derivatives worked out by hand.</summary>
internal static class NistModels
{
    public static NistModel Of(string name) => name switch
    {
        "Misra1a" or "BoxBOD" => Saturation,
        "Misra1b" => Misra1b,
        "Misra1c" => Misra1c,
        "Misra1d" => Misra1d,
        "Chwirut1" or "Chwirut2" => Chwirut,
        "DanWood" => PowerLaw,
        "Gauss1" or "Gauss2" or "Gauss3" => TwoPeaks,
        "Lanczos1" or "Lanczos2" or "Lanczos3" => ThreeDecays,
        "Kirby2" => static (x, b, g) => Rational(x[0], 3, b, g),
        "Hahn1" or "Thurber" => static (x, b, g) => Rational(x[0], 4, b, g),
        "MGH09" => Mgh09,
        "MGH10" => Mgh10,
        "MGH17" => Mgh17,
        "Nelson" => Nelson,
        "Roszman1" => Roszman,
        "ENSO" => Enso,
        "Rat42" => static (x, b, g) => Logistic(x[0], b, g),
        "Rat43" => Rat43,
        "Eckerle4" => Eckerle,
        "Bennett5" => Bennett,
        _ => throw new ArgumentException($"There is no model for {name}."),
    };

    private static double Saturation(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var e = Math.Exp(-b[1] * x[0]);
        (g[0], g[1]) = (1 - e, b[0] * x[0] * e);
        return b[0] * (1 - e);
    }

    private static double Misra1b(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var u = 1 + b[1] * x[0] / 2;
        (g[0], g[1]) = (1 - 1 / (u * u), b[0] * x[0] / (u * u * u));
        return b[0] * g[0];
    }

    private static double Misra1c(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var u = 1 + 2 * b[1] * x[0];
        (g[0], g[1]) = (1 - 1 / Math.Sqrt(u), b[0] * x[0] * Math.Pow(u, -1.5));
        return b[0] * g[0];
    }

    private static double Misra1d(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var u = 1 + b[1] * x[0];
        (g[0], g[1]) = (b[1] * x[0] / u, b[0] * x[0] / (u * u));
        return b[0] * g[0];
    }

    private static double Chwirut(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var d = b[1] + b[2] * x[0];
        var y = Math.Exp(-b[0] * x[0]) / d;
        (g[0], g[1], g[2]) = (-x[0] * y, -y / d, -x[0] * y / d);
        return y;
    }

    private static double PowerLaw(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var p = Math.Pow(x[0], b[1]);
        (g[0], g[1]) = (p, b[0] * p * Math.Log(x[0]));
        return b[0] * p;
    }

    private static double TwoPeaks(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var e = Math.Exp(-b[1] * x[0]);
        (g[0], g[1]) = (e, -x[0] * b[0] * e);
        return b[0] * e + Peak(x[0], b[2..5], g[2..5]) + Peak(x[0], b[5..8], g[5..8]);
    }

    private static double Peak(double x, ReadOnlySpan<double> b, Span<double> g)
    {
        var z = (x - b[1]) / b[2];
        var e = Math.Exp(-z * z);
        (g[0], g[1], g[2]) = (e, 2 * b[0] * e * z / b[2], 2 * b[0] * e * z * z / b[2]);
        return b[0] * e;
    }

    private static double ThreeDecays(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        double y = 0;
        for (var k = 0; k < 6; k += 2)
        {
            var e = Math.Exp(-b[k + 1] * x[0]);
            (g[k], g[k + 1]) = (e, -x[0] * b[k] * e);
            y += b[k] * e;
        }
        return y;
    }

    // Numerator with so many coefficients, denominator 1 + the rest.
    private static double Rational(double x, int numerator, ReadOnlySpan<double> b, Span<double> g)
    {
        double top = 0, bottom = 0;
        for (var k = numerator - 1; k >= 0; k--) top = top * x + b[k];
        for (var k = b.Length - 1; k >= numerator; k--) bottom = (bottom + b[k]) * x;
        bottom += 1;
        var power = 1.0;
        for (var k = 0; k < numerator; k++, power *= x) g[k] = power / bottom;
        power = x;
        for (var k = numerator; k < b.Length; k++, power *= x) g[k] = -top * power / (bottom * bottom);
        return top / bottom;
    }

    private static double Mgh09(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        double t = x[0], top = t * t + t * b[1], bottom = t * t + t * b[2] + b[3];
        (g[0], g[1], g[2], g[3]) = (top / bottom, b[0] * t / bottom, -b[0] * top * t / (bottom * bottom), -b[0] * top / (bottom * bottom));
        return b[0] * top / bottom;
    }

    private static double Mgh10(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var d = x[0] + b[2];
        var e = Math.Exp(b[1] / d);
        (g[0], g[1], g[2]) = (e, b[0] * e / d, -b[0] * e * b[1] / (d * d));
        return b[0] * e;
    }

    private static double Mgh17(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        double e = Math.Exp(-x[0] * b[3]), f = Math.Exp(-x[0] * b[4]);
        (g[0], g[1], g[2], g[3], g[4]) = (1, e, f, -x[0] * b[1] * e, -x[0] * b[2] * f);
        return b[0] + b[1] * e + b[2] * f;
    }

    private static double Nelson(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var e = x[0] * Math.Exp(-b[2] * x[1]);
        (g[0], g[1], g[2]) = (1, -e, b[1] * e * x[1]);
        return b[0] - b[1] * e;
    }

    private static double Roszman(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var d = x[0] - b[3];
        var q = Math.PI * (d * d + b[2] * b[2]);
        (g[0], g[1], g[2], g[3]) = (1, -x[0], -d / q, -b[2] / q);
        return b[0] - b[1] * x[0] - Math.Atan(b[2] / d) / Math.PI;
    }

    private static double Enso(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        g[0] = 1;
        var year = Wave(x[0], 12, b[1], b[2], g[1..3], out _);
        var second = Wave(x[0], b[3], b[4], b[5], g[4..6], out g[3]);
        var third = Wave(x[0], b[6], b[7], b[8], g[7..9], out g[6]);
        return b[0] + year + second + third;
    }

    private static double Wave(double x, double period, double cosine, double sine, Span<double> g, out double byPeriod)
    {
        var phase = 2 * Math.PI * x / period;
        (g[0], g[1]) = (Math.Cos(phase), Math.Sin(phase));
        byPeriod = (cosine * g[1] - sine * g[0]) * phase / period;
        return cosine * g[0] + sine * g[1];
    }

    private static double Logistic(double x, ReadOnlySpan<double> b, Span<double> g)
    {
        var e = Math.Exp(b[1] - b[2] * x);
        var s = 1 / (1 + e);
        (g[0], g[1], g[2]) = (s, -b[0] * s * s * e, b[0] * s * s * e * x);
        return b[0] * s;
    }

    private static double Rat43(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var e = Math.Exp(b[1] - b[2] * x[0]);
        var p = Math.Pow(1 + e, -1 / b[3]);
        var slope = -b[0] * p * e / (b[3] * (1 + e));
        (g[0], g[1], g[2], g[3]) = (p, slope, -slope * x[0], b[0] * p * Math.Log(1 + e) / (b[3] * b[3]));
        return b[0] * p;
    }

    private static double Eckerle(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var z = (x[0] - b[2]) / b[1];
        var e = Math.Exp(-0.5 * z * z) / b[1];
        (g[0], g[1], g[2]) = (e, b[0] * e * (z * z - 1) / b[1], b[0] * e * z / b[1]);
        return b[0] * e;
    }

    private static double Bennett(double[] x, ReadOnlySpan<double> b, Span<double> g)
    {
        var u = b[1] + x[0];
        var p = Math.Pow(u, -1 / b[2]);
        (g[0], g[1], g[2]) = (p, -b[0] * p / (b[2] * u), b[0] * p * Math.Log(u) / (b[2] * b[2]));
        return b[0] * p;
    }
}
