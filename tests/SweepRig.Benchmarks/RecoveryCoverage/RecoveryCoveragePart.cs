namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>One half of the figure: how often intervals of 95 % hold the truth, and how far estimates are off on average.</summary>
/// <param name="What">What was recovered.</param>
/// <param name="LeastCoverage">Of the quantity that is covered least often, 0 to 1.</param>
/// <param name="MostCoverage">Of the one covered most often.</param>
/// <param name="WorstBias">Largest mean error of a quantity, in its standard uncertainties, without sign.</param>
/// <param name="Detail">For people: which quantities these are, and of how many.</param>
public sealed record RecoveryCoveragePart(string What, double LeastCoverage, double MostCoverage, double WorstBias, string Detail)
{
    public bool Met => LeastCoverage >= 0.93 && MostCoverage <= 0.97 && WorstBias < 0.1;
}
