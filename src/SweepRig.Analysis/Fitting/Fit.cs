namespace SweepRig.Analysis.Fitting;

/// <summary>What a fit ended with. Use parameters and covariance only when <see cref="Status"/> is <see cref="FitStatus.Converged"/>.</summary>
/// <param name="Status">How it ended.</param>
/// <param name="Parameters">Best point found.</param>
/// <param name="Residuals">There.</param>
/// <param name="SumOfSquares">Of the residuals.</param>
/// <param name="Freedom">Residuals less parameters that were free.</param>
/// <param name="Steps">Evaluations with derivatives.</param>
/// <param name="AtBound">True for each parameter that ended at its lowest or highest value.</param>
/// <param name="Decomposition">Of the Jacobian at the end: covariance, rank, directions that the data leave open; null without a value at the start.</param>
public sealed record Fit(
    FitStatus Status,
    double[] Parameters,
    double[] Residuals,
    double SumOfSquares,
    int Freedom,
    int Steps,
    bool[] AtBound,
    JacobianDecomposition? Decomposition)
{
    public bool IsConverged => Status == FitStatus.Converged;

    /// <summary>Variance of one residual as the residuals themselves show it: near 1 when their stated uncertainties are right. NaN without freedom.</summary>
    public double ResidualVariance => Freedom > 0 ? SumOfSquares / Freedom : double.NaN;

    /// <summary>Standard uncertainties for residuals of unit variance; infinite where the data say nothing.</summary>
    public double[] Uncertainties() => Decomposition?.Uncertainties() ?? [.. Parameters.Select(_ => double.PositiveInfinity)];

    /// <summary>Standard errors with the residual variance as the residuals show it, for data whose uncertainty is not known.</summary>
    public double[] StandardErrors()
    {
        var factor = Math.Sqrt(ResidualVariance);
        return Array.ConvertAll(Uncertainties(), u => u * factor);
    }
}
