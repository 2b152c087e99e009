using SweepRig.Analysis.Fitting;

namespace SweepRig.Analysis.Tests.Fitting.Nist;

/// <summary>How the problems are run, and how a fit is scored against the certified values.</summary>
internal static class NistRun
{
    public static FitOptions Options { get; } = new() { Tolerance = 1e-15, MostSteps = 20_000 };

    /// <summary>Fewest digits that any parameter, and any standard error, agrees to.</summary>
    public static (double Parameters, double Errors) Score(NistProblem problem, Fit fit) =>
        (Least(fit.Parameters, problem.Certified), Least(fit.StandardErrors(), problem.Deviations));

    public static double Least(IReadOnlyList<double> values, double[] certified) =>
        certified.Select((c, j) => NistProblem.Digits(values[j], c)).Min();
}
