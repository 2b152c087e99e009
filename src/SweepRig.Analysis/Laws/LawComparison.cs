using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Laws;

/// <summary>A plain law beside the model of the tube, over the same readings of the output.</summary>
/// <param name="Fit">Of the law.</param>
/// <param name="ModelRmsVolts">What the model leaves over where the law speaks; null when the law was not fitted, or the model was not. Unit: V.</param>
public sealed record LawComparison(LawFit Fit, double? ModelRmsVolts)
{
    /// <summary>Every law that speaks of one of the runs' connections.</summary>
    /// <param name="runs">Of one tube.</param>
    /// <param name="model">The tube fitted to the same runs.</param>
    public static IReadOnlyList<LawComparison> All(IReadOnlyList<ModelRun> runs, TubeModelFit model)
    {
        ArgumentNullException.ThrowIfNull(runs);
        var connections = runs.Select(r => r.Connection.Kind).ToHashSet();
        return [.. Enum.GetValues<PlainLaw>().Where(l => connections.Contains(LawForm.Of(l).Connection)).Select(l => Of(l, runs, model))];
    }

    /// <param name="law">Which.</param>
    /// <param name="runs">Of one tube.</param>
    /// <param name="model">The tube fitted to the same runs.</param>
    public static LawComparison Of(PlainLaw law, IReadOnlyList<ModelRun> runs, TubeModelFit model)
    {
        ArgumentNullException.ThrowIfNull(model);
        var fit = LawFitter.Fit(law, runs);
        if (!fit.IsFitted || model.Status == ModelFitStatus.Refused) return new(fit, null);
        return new(fit, LawFitter.OutputRms(fit.Residuals.Where(r => r.Place == VoltagePlace.Plate).Select(r => AtPoints(r, model))));
    }

    // The model's residuals at the drives of the law's; both stand in the order measured.
    private static PassResiduals AtPoints(PassResiduals of, TubeModelFit model)
    {
        var all = model.Residuals.Single(r => r.Run == of.Run && r.Pass == of.Pass && r.Place == of.Place);
        var places = new int[of.Drive.Length];
        for (int k = 0, i = 0; k < places.Length; k++, i++)
        {
            while (all.Drive[i] != of.Drive[k]) i++;
            places[k] = i;
        }
        return of with { Residual = [.. places.Select(i => all.Residual[i])], ScatterVolts = all.ScatterVolts, Wild = [.. places.Select((i, k) => all.Wild[i] || of.Wild[k])] };
    }
}
