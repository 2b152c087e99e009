namespace SweepRig.Analysis.Fitting;

/// <param name="Promised">Reduction of the sum of squares by the linear model.</param>
/// <param name="ScaledLength">Length in scaled variables.</param>
/// <param name="IsGaussNewton">True when the trust region did not shorten it.</param>
internal readonly record struct ProposedStep(double Promised, double ScaledLength, bool IsGaussNewton);
