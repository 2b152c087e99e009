namespace SweepRig.Analysis.Fitting;

/// <summary>A problem with every residual multiplied by a factor of its own; 0 leaves it out.</summary>
internal sealed class WeightedProblem(ILeastSquaresProblem inner, double[] factors) : ILeastSquaresProblem
{
    public int ParameterCount => inner.ParameterCount;

    public int ResidualCount => inner.ResidualCount;

    public bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian)
    {
        if (!inner.Evaluate(parameters, residuals, jacobian)) return false;
        Multiply(residuals);
        for (var at = 0; at < jacobian.Length; at += factors.Length) Multiply(jacobian.Slice(at, factors.Length));
        return true;
    }

    private void Multiply(Span<double> column)
    {
        for (var i = 0; i < column.Length; i++) column[i] *= factors[i];
    }
}
