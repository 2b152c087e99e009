namespace SweepRig.Analysis.Fitting;

/// <summary>Limits and tolerances of a fit.</summary>
public sealed record FitOptions
{
    /// <summary>Lowest value of each parameter; null for none. Minus infinity is allowed.</summary>
    public IReadOnlyList<double>? Lowest { get; init; }

    /// <summary>Highest value of each parameter; null for none.</summary>
    public IReadOnlyList<double>? Highest { get; init; }

    /// <summary>The fit has converged when a step changes the sum of squares by less than this part. Default 1e-12.</summary>
    public double Tolerance { get; init; } = 1e-12;

    /// <summary>Most evaluations with derivatives. Default 400.</summary>
    public int MostSteps { get; init; } = 400;

    /// <summary>First trust radius as a multiple of the scaled start. Default 1; 0.01 for starts from which long steps lead astray.</summary>
    public double FirstRadius { get; init; } = 1;

    /// <summary>
    /// How far each parameter may go before the linear model is doubted, in its unit: the trust region is a ball in parameters over these. Null to scale by the
    /// longest column of derivatives met, which needs no knowledge and holds on to a start where a parameter did more than it does at the minimum.
    /// </summary>
    public IReadOnlyList<double>? Reach { get; init; }

    /// <summary>A direction counts as undetermined when its singular value, columns scaled to length 1, is below this part of the largest. Default 1e-9.</summary>
    public double RankTolerance { get; init; } = 1e-9;
}
