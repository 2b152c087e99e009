namespace SweepRig.Analysis.Fitting;

/// <summary>Residuals near a point as a linear model: |q + R p|^2 with steps damped by lambda |D p|^2.</summary>
/// <param name="triangle">R, n by n, column after column.</param>
/// <param name="turned">q, the first n turned residuals.</param>
/// <param name="scale">D.</param>
/// <param name="lambda">0 or above.</param>
internal readonly ref struct LinearModel(ReadOnlySpan<double> triangle, ReadOnlySpan<double> turned, ReadOnlySpan<double> scale, double lambda)
{
    private readonly ReadOnlySpan<double> _triangle = triangle;

    public ReadOnlySpan<double> Turned { get; } = turned;

    public ReadOnlySpan<double> Scale { get; } = scale;

    public double Lambda { get; } = lambda;

    public ReadOnlySpan<double> Column(int j) => _triangle.Slice(j * Turned.Length, Turned.Length);
}
