using System.Globalization;
using MathNet.Numerics.Distributions;
using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Grading;

/// <summary>What is decided of a measured quantity under a limit.</summary>
public enum Decision
{
    /// <summary>It keeps to the limit, with the guard band to spare.</summary>
    Accept,

    /// <summary>It breaks the limit, with the guard band to spare.</summary>
    Reject,

    /// <summary>The measurement is not sure enough to say.</summary>
    Undecided,

    /// <summary>There is no value.</summary>
    Absent,
}

/// <summary>One quantity under one limit.</summary>
/// <param name="Limit">Which.</param>
/// <param name="Value">As measured.</param>
/// <param name="Decision">With its guard band.</param>
/// <param name="Probability">That the true value keeps to the limit; null where there is no value or no uncertainty.</param>
/// <param name="Says">The same for people.</param>
public sealed record Conformity(QuantityLimit Limit, Figure Value, Decision Decision, double? Probability, string Says)
{
    /// <summary>Width of the guard band in expanded uncertainties (JCGM 106:2012, 8.3.2).</summary>
    public const double UsualGuard = 1;

    /// <summary>Guarded acceptance and guarded rejection (JCGM 106:2012, 8.3.2 and 8.3.3).</summary>
    /// <param name="limit">In the unit of the value.</param>
    /// <param name="value">With its standard uncertainty and coverage factor. Without an uncertainty nothing is accepted or rejected.</param>
    /// <param name="guard">Guard band in expanded uncertainties: 1 leaves a wrong acceptance at 2.5 % at the limit, 0 shares the risk.</param>
    /// <exception cref="ArgumentException">Units differ, the limit is faulty, or the guard is negative.</exception>
    public static Conformity Of(QuantityLimit limit, Figure value, double guard = UsualGuard)
    {
        ArgumentNullException.ThrowIfNull(limit);
        ArgumentNullException.ThrowIfNull(value);
        if (limit.Fault() is { } fault) throw new ArgumentException(fault, nameof(limit));
        if (!(guard >= 0)) throw new ArgumentException($"The guard band is {guard} expanded uncertainties; give 0 or more.", nameof(guard));
        if (limit.Unit != value.Unit) throw new ArgumentException($"{limit.Quantity} is in {value.Unit} and its limit in {limit.Unit}; give the limit in {value.Unit}.", nameof(limit));
        if (value.Value is not { } y) return new(limit, value, Decision.Absent, null, $"{limit.Quantity}: {value.AbsentBecause ?? "not measured"}");
        if (value.Uncertainty is not { } u) return new(limit, value, Decision.Undecided, null, $"{limit.Quantity} has no uncertainty; measure it with repeats, or calibrate");
        var probability = KeepsTo(limit, y, u);
        var band = guard * value.ExpandedUncertainty!.Value;
        var decision = Inside(limit, y, band) ? Decision.Accept : Inside(limit, y, -band) ? Decision.Undecided : Decision.Reject;
        return new(limit, value, decision, probability, Words(limit, y, value.ExpandedUncertainty.Value, decision, probability));
    }

    /// <summary>Probability that the true value lies within the limits when what is known of it is normal (JCGM 106:2012, 7.3 and 7.4).</summary>
    /// <param name="limit">Limits.</param>
    /// <param name="value">Best estimate.</param>
    /// <param name="uncertainty">Standard uncertainty, 0 or above.</param>
    public static double KeepsTo(QuantityLimit limit, double value, double uncertainty)
    {
        ArgumentNullException.ThrowIfNull(limit);
        if (uncertainty == 0) return Inside(limit, value, 0) ? 1 : 0;
        var below = limit.Highest is { } high ? Normal.CDF(0, 1, (high - value) / uncertainty) : 1;
        var under = limit.Lowest is { } low ? Normal.CDF(0, 1, (low - value) / uncertainty) : 0;
        return below - under;
    }

    private static bool Inside(QuantityLimit limit, double value, double band) =>
        !(value < limit.Lowest + band) && !(value > limit.Highest - band);

    private static string Words(QuantityLimit limit, double value, double expanded, Decision decision, double probability)
    {
        var measured = $"{limit.Quantity} is {Text(value, limit)} ± {Text(expanded, limit)}";
        if (decision == Decision.Accept) return $"{measured}, within its limits";
        var beyond = limit.Highest is { } high && value - high > (limit.Lowest ?? double.NegativeInfinity) - value ? $"highest {Text(high, limit)}" : $"lowest {Text(limit.Lowest!.Value, limit)}";
        return decision == Decision.Reject
            ? $"{measured}, beyond the {beyond}"
            : string.Create(CultureInfo.InvariantCulture, $"{measured}, too near to the {beyond} to say: within with a probability of {100 * probability:0.#} %");
    }

    private static string Text(double value, QuantityLimit limit) => Engineering.Figure(value, limit.Unit, 3);
}
