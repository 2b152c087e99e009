namespace SweepRig.Analysis.Fitting;

/// <summary>How a fit ended. Only <see cref="Converged"/> is a result.</summary>
public enum FitStatus
{
    /// <summary>A minimum to within rounding or the stated tolerance.</summary>
    Converged,

    /// <summary>The steps allowed were used up before a minimum was reached.</summary>
    OutOfSteps,

    /// <summary>No step made the residuals smaller although the gradient is not 0: the derivatives do not belong to the residuals, or rounding is in the way.</summary>
    Stuck,

    /// <summary>The model has no value at the start.</summary>
    NoValueAtStart,

    /// <summary>Fewer residuals than parameters.</summary>
    TooFewPoints,
}
