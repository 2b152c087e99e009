using System.Globalization;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>The number of a rule, in the unit that people read and write it in.</summary>
/// <param name="Unit">Unit of all its numbers.</param>
/// <param name="Attended">Default while somebody is at the bench.</param>
/// <param name="Unattended">Default while nobody is; nowhere looser.</param>
/// <param name="Tightest">One end of the range that a bench may set.</param>
/// <param name="Loosest">The other; above the tightest where a higher number is looser, else below.</param>
/// <param name="Source">Where the defaults come from.</param>
public sealed record RuleLimit(RuleUnit Unit, double Attended, double Unattended, double Tightest, double Loosest, string Source)
{
    public double Least => Math.Min(Tightest, Loosest);

    public double Most => Math.Max(Tightest, Loosest);

    /// <summary>The tighter of two values.</summary>
    public double Tighter(double a, double b) => Loosest > Tightest ? Math.Min(a, b) : Math.Max(a, b);

    /// <summary>A value with its unit.</summary>
    public string Text(double value) => $"{value.ToString("0.####", CultureInfo.InvariantCulture)} {Unit.Symbol}";
}
