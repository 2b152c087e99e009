using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Designs;

/// <summary>What to measure next while a sweep goes on.</summary>
/// <param name="Drives">Next drives, ascending, volts; empty when the wanted uncertainty is reached.</param>
/// <param name="Switching">The switching point as it stands; absent with the reason where it cannot be told yet.</param>
public sealed record AdaptiveStep(IReadOnlyList<double> Drives, Figure Switching);

/// <summary>
/// Puts the points of a sweep where they tell most about the switching point: begin with a few even points, fit, then measure what <see cref="Next"/> names, fit all
/// points together and ask again. Pure; the one who measures keeps the points.
/// </summary>
public static class AdaptiveSweep
{
    // Drives among which the next ones are chosen: finer than that the information hardly differs.
    private const int Choices = 121;

    /// <param name="fit">To all points measured so far.</param>
    /// <param name="measured">Drives measured so far, volts.</param>
    /// <param name="connection">The sweep's.</param>
    /// <param name="known">What the calibration leaves unknown with it.</param>
    /// <param name="fromDrive">Lowest drive allowed, volts.</param>
    /// <param name="toDrive">Highest drive allowed, volts; above 0 it needs a permit.</param>
    /// <param name="count">Points of the next batch, 1 or more.</param>
    /// <param name="wantedUncertainty">Standard uncertainty of the switching point that is enough, volts.</param>
    public static AdaptiveStep Next(
        TubeModelFit fit, IReadOnlyList<double> measured, Connection connection, MeasurementUncertainty known, double fromDrive, double toDrive, int count, double wantedUncertainty)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(measured);
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        if (fit.Tube is null) return new(WidestGaps(measured, fromDrive, toDrive, count), Figure.None("V", $"no fit yet: {fit.Findings[0].Says}"));
        var switching = SwitchingPrediction.Of(fit, connection, known, fromDrive, toDrive)?.Drive ?? Figure.None("V", "the model has no solution with the constants fitted so far");
        if (switching.Uncertainty <= wantedUncertainty) return new([], switching);
        var gradient = switching.Value is null ? null : SwitchingPrediction.Gradient(fit, connection, known, fromDrive, toDrive);
        var chosen = gradient is null ? null : SweepDesign.Of(fit).BestDrives(new(connection, fromDrive, toDrive, Choices), gradient, count);
        return new(chosen is null ? WidestGaps(measured, fromDrive, toDrive, count) : [.. chosen.Order()], switching);
    }

    /// <summary>Where nothing better is known the widest gaps are halved, so that a sweep of which no fit can be had becomes an even one.</summary>
    internal static IReadOnlyList<double> WidestGaps(IReadOnlyList<double> measured, double fromDrive, double toDrive, int count)
    {
        List<double> all = [.. measured.Append(fromDrive).Append(toDrive).Order()];
        List<double> chosen = [];
        for (var n = 0; n < count; n++)
        {
            var widest = Enumerable.Range(1, all.Count - 1).MaxBy(i => all[i] - all[i - 1]);
            var middle = (all[widest] + all[widest - 1]) / 2;
            all.Insert(widest, middle);
            chosen.Add(middle);
        }
        chosen.Sort();
        return chosen;
    }
}
