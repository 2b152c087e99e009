using static SweepRig.Analysis.Spice.SpiceText;

namespace SweepRig.Analysis.Spice;

/// <summary>The rounded functions of the tube model in the functions that SPICE3 knows: abs, atanh, exp, ln, sqrt, uramp.</summary>
/// <remarks>
/// <para>There is no log1p, and ln(1 + u) is 0 for small u. ln(1 + u) = 2 atanh(u/(2 + u)) exactly, and with u = exp(-z) the argument is 1/(1 + 2 exp(z)).
/// min(z, 80) is 80 - uramp(80 - z).</para>
/// <para>Newton's method goes through values that no solution has: each formula stays finite for any value of the nodes it reads. That is why
/// positive quantities that others divide by or take roots of are kept as logarithms, why the products are odd in their node, and why exponents are bounded.</para>
/// </remarks>
internal static class SpiceFormula
{
    // Bounds of exponents, beyond what any solution reaches (below 180), with their squares within the range of a double.
    private const int Steepest = 150;
    private const int Farthest = 300;

    /// <summary>S(x, w), the rounded max(x, 0).</summary>
    public static string Positive(string x, string w) => $"(({x})+abs({x}))/2+{w}*{LogOnePlusExpMinus($"abs({x})/{w}")}";

    /// <summary>ln(1 + exp(x)).</summary>
    public static string LogOnePlusExp(string x) => $"(({x})+abs({x}))/2+{LogOnePlusExpMinus($"abs({x})")}";

    /// <summary>M(a, b, n), the rounded min(a, b), with b given by its logarithm. Odd in a.</summary>
    public static string Smaller(string a, string logB, double n)
    {
        if (n == 2)
        {
            var ratio = $"({a}*exp({Steepest}-uramp({Steepest}+{logB})))";
            return $"{a}/sqrt(1+{ratio}*{ratio})";
        }
        // 1e-99 only keeps ln from 0 before there is a solution.
        return $"{a}*exp(0-({LogOnePlusExp($"{F(n)}*(ln(abs({a})+1e-99)-{logB})")})/{F(n)})";
    }

    /// <summary>1/(1 + exp(-x)).</summary>
    public static string Share(string x) => $"1/(1+exp({Farthest}-uramp({Farthest}+{x})))";

    // ln(1 + exp(-min(z, 80))) for z of 0 or above.
    private static string LogOnePlusExpMinus(string z) => $"2*atanh(1/(1+2*exp(80-uramp(80-{z}))))";
}
