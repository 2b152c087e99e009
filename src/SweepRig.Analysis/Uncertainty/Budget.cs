namespace SweepRig.Analysis.Uncertainty;

/// <summary>A result with everything that makes up its uncertainty (JCGM 100:2008, 5 and 8).</summary>
/// <param name="Value">In <paramref name="Unit"/>.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
/// <param name="Contributions">One a source, in the order given.</param>
/// <param name="CorrelatedVariance">What correlations of the sources add, or take away, in the square of the unit (5.2.2, equation (16)).</param>
/// <param name="SecondOrderVariance">What the bend of the function adds (5.1.2, note); 0 where it was not asked for.</param>
public sealed record Budget(
    double Value, string Unit, IReadOnlyList<Contribution> Contributions, double CorrelatedVariance = 0, double SecondOrderVariance = 0)
{
    /// <summary>Combined standard uncertainty, in the unit.</summary>
    public double StandardUncertainty =>
        Math.Sqrt(Math.Max(0, Contributions.Sum(c => c.Part * c.Part) + CorrelatedVariance + SecondOrderVariance));

    /// <summary>
    /// By Welch and Satterthwaite (JCGM 100:2008, G.4.1); infinite where every source is known as it stands. Null where sources are correlated: the formula does
    /// not hold then.
    /// </summary>
    public double? DegreesOfFreedom
    {
        get
        {
            if (CorrelatedVariance != 0) return null;
            var sum = Contributions.Sum(c => c.DegreesOfFreedom is { } free ? Math.Pow(c.Part, 4) / free : 0);
            // The sources alone, without the bend: the formula is one of the first order.
            var first = Contributions.Sum(c => c.Part * c.Part);
            return sum > 0 ? first * first / sum : double.PositiveInfinity;
        }
    }

    /// <summary>
    /// Coverage factor by Student's distribution of the effective degrees of freedom, rounded down to a whole number (JCGM 100:2008, G.4.1, note 1).
    /// Normal where they do not exist.
    /// </summary>
    /// <param name="probability">Between 0 and 1, for example 0.95.</param>
    public double CoverageFactor(double probability) => Coverage.Student(Math.Floor(DegreesOfFreedom ?? double.PositiveInfinity), probability);

    /// <summary>Half width of the interval that holds the true value with that probability, in the unit.</summary>
    public double ExpandedUncertainty(double probability) => CoverageFactor(probability) * StandardUncertainty;

    /// <summary>
    /// As a figure with its budget. The coverage factor is that of 95 %, and heeds that a sum in which rectangular parts lead has no long tails (G.2.2).
    /// </summary>
    public Figure ToFigure(string? mark = null) =>
        Figure.Of(Value, Unit, StandardUncertainty, mark) with { CoverageFactor = Coverage.Factor(this), Budget = Contributions };
}
