using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Designs;

/// <summary>A candidate with what it would bring.</summary>
/// <param name="Sweep">What to do.</param>
/// <param name="Uncertainty">Standard uncertainty of the wanted quantity after it, in its unit; for everything, the geometric mean of the coordinates' uncertainties.</param>
public sealed record RankedSweep(PlannedSweep Sweep, double Uncertainty);

/// <summary>Which sweep to make next.</summary>
/// <param name="Now">Standard uncertainty of the wanted quantity as it stands, in its unit: of readings on this bench; what the calibration leaves common to all of them no sweep shrinks, and it is not in here for output and switching point.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio, and for everything.</param>
/// <param name="Ranked">All candidates that can be reckoned, best first; not empty.</param>
public sealed record SweepProposal(double Now, string Unit, IReadOnlyList<RankedSweep> Ranked)
{
    public RankedSweep Best => Ranked[0];
}

/// <summary>Chooses the next sweep by optimal design on the fitted model: c-optimal for one quantity, D-optimal for all constants (Fedorov 1972, from memory). Pure.</summary>
public static class NextSweep
{
    // Candidates this near to each other differ by less than a design at constants not yet known can tell.
    private const double Alike = 1.02;

    /// <param name="fit">Not a refused one.</param>
    /// <param name="wanted">What is to become surer.</param>
    /// <param name="candidates">What can be done; see <see cref="SweepCandidates"/>.</param>
    /// <returns>Null when the model has no solution for the quantity or for any candidate, or the quantity does not exist.</returns>
    /// <exception cref="ArgumentException">The fit was refused.</exception>
    public static SweepProposal? Propose(TubeModelFit fit, WantedQuantity wanted, IReadOnlyList<PlannedSweep> candidates)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(wanted);
        ArgumentNullException.ThrowIfNull(candidates);
        if (fit.Tube is null) throw new ArgumentException("The fit was refused; there is nothing to plan from. Look at its findings.", nameof(fit));
        var design = SweepDesign.Of(fit);
        var everything = wanted is WantedQuantity.Everything;
        var gradient = everything ? [] : Gradient(fit, design, wanted);
        if (gradient is null) return null;
        double Uncertainty(MathNet.Numerics.LinearAlgebra.Matrix<double> covariance) => everything ? design.Mean(covariance) : design.Uncertainty(covariance, gradient);

        List<RankedSweep> ranked = [];
        foreach (var candidate in candidates)
            if (design.After(candidate) is { } covariance) ranked.Add(new(candidate, Uncertainty(covariance)));
        if (ranked.Count == 0) return null;
        ranked.Sort((a, b) => a.Uncertainty.CompareTo(b.Uncertainty));
        // Of those that do as well the one without positive drive: it asks nothing of the tube and needs no permit.
        if (ranked.Find(r => !r.Sweep.NeedsPermit && r.Uncertainty <= Alike * ranked[0].Uncertainty) is { } gentle && gentle != ranked[0])
        {
            ranked.Remove(gentle);
            ranked.Insert(0, gentle);
        }
        var unit = wanted switch { WantedQuantity.Constant c => TubeCoordinates.Unit(c.Parameter), WantedQuantity.Everything => "1", _ => "V" };
        return new(Uncertainty(design.Now), unit, ranked);
    }

    private static double[]? Gradient(TubeModelFit fit, SweepDesign design, WantedQuantity wanted)
    {
        switch (wanted)
        {
            case WantedQuantity.Constant constant:
                return design.Constant(constant.Parameter);
            case WantedQuantity.Output output:
                var readings = PredictedReadings.Of(fit, output.Connection, output.Known, new(output.Connection, output.Drive, output.Drive, 1));
                return readings?.Spread.ByFitted(readings.PlateGradient(0));
            case WantedQuantity.Switching switching:
                return SwitchingPrediction.Gradient(fit, switching.Connection, switching.Known, switching.FromDrive, switching.ToDrive);
            default:
                throw new ArgumentOutOfRangeException(nameof(wanted), wanted, "SweepRig bug: no such quantity.");
        }
    }
}
