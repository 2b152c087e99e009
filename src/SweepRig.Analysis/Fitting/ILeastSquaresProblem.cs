namespace SweepRig.Analysis.Fitting;

/// <summary>Residuals in units of their standard uncertainty, with their derivatives: what <see cref="LeastSquares"/> makes as small as it can.</summary>
public interface ILeastSquaresProblem
{
    int ParameterCount { get; }

    int ResidualCount { get; }

    /// <summary>Fills residuals and, where asked, derivatives at a point.</summary>
    /// <param name="parameters">Of length <see cref="ParameterCount"/>.</param>
    /// <param name="residuals">Filled; of length <see cref="ResidualCount"/>.</param>
    /// <param name="jacobian">Filled with d residual/d parameter, the column of one parameter after the other; empty when it is not wanted.</param>
    /// <returns>False where the model has no value; the engine then takes a shorter step.</returns>
    bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian);
}
