using System.Globalization;
using SweepRig.Analysis.Drift;
using SweepRig.Service.Cli.Rendering;

namespace SweepRig.Service.Stock;

/// <summary>What the charts of a drift say, in sentences. Pure.</summary>
public static class DriftWords
{
    /// <param name="series">The charts.</param>
    /// <param name="whenUtc">When each was measured.</param>
    public static IEnumerable<string> Of(DriftSeries series, IReadOnlyList<DateTimeOffset> whenUtc)
    {
        ArgumentNullException.ThrowIfNull(series);
        ArgumentNullException.ThrowIfNull(whenUtc);
        var count = series.Points.Count;
        if (count == 1)
        {
            yield return "Measured once: nothing can be said of a drift yet. Measure it again in the same circuit.";
            yield break;
        }
        var newest = series.Points[^1];
        var change = FigureText.Scaled(newest.Change!);
        yield return newest.BeyondUncertainty is not { } over ? $"Changed by {change} since the first measurement; without uncertainties it cannot be said whether that is the tube."
            : newest.HasChanged ? string.Create(CultureInfo.InvariantCulture, $"Changed by {change} since the first measurement: {Math.Abs(over):0.0} times what the two measurements can be wrong together.")
            : $"No change beyond uncertainty since the first measurement ({change}).";
        if (newest.BeyondUncertainty is not null && !newest.HasChanged && Between(series) is { } between)
            yield return $"It had changed beyond uncertainty on {Day(whenUtc[between])} and has come back.";
        if (series.Individuals is { } chart)
        {
            if (chart.Outside.Count > 0) yield return $"Outside the limits of single values: {Days(chart.Outside, whenUtc)}.";
            if (chart.RangesOutside.Count > 0) yield return $"A jump from the measurement before: {Days(chart.RangesOutside, whenUtc)}.";
        }
        if (series.Averages is { Outside.Count: > 0 } averages) yield return $"The moving average is outside its limits: {Days(averages.Outside, whenUtc)}. A small change that lasts shows there first.";
        if (series.Averages is null) yield return "The measurements that limits are made from are equal to the last digit: they give none.";
        if (series.Baseline < DriftSeries.EnoughForLimits)
            yield return $"The limits are made from {series.Baseline} measurements and a first guess only; {DriftSeries.EnoughForLimits} are usual.";
    }

    private static int? Between(DriftSeries series)
    {
        for (var i = series.Points.Count - 2; i > 0; i--)
            if (series.Points[i].HasChanged) return i;
        return null;
    }

    private static string Days(IReadOnlyList<int> places, IReadOnlyList<DateTimeOffset> whenUtc) =>
        string.Join(", ", places.TakeLast(5).Select(p => Day(whenUtc[p]))) + (places.Count > 5 ? $", and {places.Count - 5} before" : "");

    private static string Day(DateTimeOffset at) => at.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
}
