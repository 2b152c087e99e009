using SweepRig.Analysis;
using SweepRig.Analysis.Drift;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>A quantity of one tube over all its measurements.</summary>
public static class TubeDrift
{
    public const string UsualQuantity = "pentode.switching-drive";
    public const double UsualWeight = 0.3;

    /// <summary>Newest measurements looked at: more do not fit a chart.</summary>
    public const int MostPoints = 500;

    /// <param name="store">Where the runs are.</param>
    /// <param name="shelf">Works out their figures.</param>
    /// <param name="label">Number of the tube.</param>
    /// <param name="quantity">A level, or a figure of the screening.</param>
    /// <param name="weight">Of the newest value in the moving average, above 0 up to 1.</param>
    /// <param name="baseline">The limits are made from so many of the first measurements, 2 or more; null for all.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    /// <returns>The charts; or why there can be none: never measured, or the quantity is a fitted constant.</returns>
    public static async Task<Outcome<DriftView>> ReadAsync(
        RunStore store, FigureShelf shelf, string label, NamedQuantity quantity, double weight, int? baseline, CancellationToken cancellationToken)
    {
        if (quantity.Word.StartsWith(StockQuantities.FitPrefix, StringComparison.Ordinal))
        {
            return Outcome<DriftView>.Refuse(new Refusal(
                "no-drift-of-fits", "/quantity", $"the drift of {quantity.Word}", "levels and figures of the screening are followed; constants are fitted to several sweeps together", "Choose a level, for example pentode.vol."));
        }
        var measured = await shelf.HistoryAsync(store, label, quantity.Word, MostPoints, cancellationToken);
        var newest = measured.LastOrDefault(m => m.Circuit is not null)?.Circuit;
        var outside = measured.Select(m => (Measured: m, Because: Because(m, newest))).Where(m => m.Because is not null)
            .Select(m => new DriftLeftOutView(m.Measured.Run, m.Measured.StartedUtc, m.Because!)).ToArray();
        PastFigure[] inside = [.. measured.Where(m => Because(m, newest) is null)];
        if (inside.Length == 0)
        {
            return Outcome<DriftView>.Refuse(new Refusal(
                "never-measured", "/quantity", $"the drift of {quantity.Word} of {label}", outside.Length == 0 ? "it was never measured" : $"it was measured {(outside.Length == 1 ? "once" : $"{outside.Length} times")} without a value: {outside[^1].Because}",
                quantity.Word.StartsWith(StockQuantities.HealthPrefix, StringComparison.Ordinal) ? $"Screen it: sweeprig screen --tube {label}." : $"Sweep it in that connection: sweeprig sweep PLAN --tube {label}."));
        }
        var series = DriftSeries.Of([.. inside.Select(m => m.Figure)], weight, baseline);
        return Outcome<DriftView>.Accept(new(
            label, LotSummaries.View(quantity), [.. inside.Select((m, i) => Point(m, i, series))],
            series.Individuals is { } c ? new(c.Centre, c.Lower, c.Upper, c.MeanRange, c.UpperRange) : null,
            series.Averages is { } a ? new(weight, a.Lower, a.Upper) : null, series.Baseline, series.Points[^1].HasChanged, [.. DriftWords.Of(series, [.. inside.Select(m => m.StartedUtc)])], outside));
    }

    private static string? Because(PastFigure measured, Connection? newest) =>
        measured.Figure.Value is null ? measured.Figure.AbsentBecause ?? "no value"
        : measured.Circuit is { } circuit && circuit != newest ? $"another circuit: {Comparability.Words(circuit)}"
        : null;

    private static DriftPointView Point(PastFigure measured, int place, DriftSeries series)
    {
        var point = series.Points[place];
        var flags = new List<string>();
        if (point.HasChanged) flags.Add("change");
        if (series.Individuals?.Outside.Contains(place) == true) flags.Add("value");
        if (series.Individuals?.RangesOutside.Contains(place) == true) flags.Add("range");
        if (series.Averages?.Outside.Contains(place) == true) flags.Add("average");
        return new(
            measured.Run, measured.StartedUtc, point.Value, point.Change, point.BeyondUncertainty,
            place == 0 ? null : Math.Abs(point.Value.Value!.Value - series.Points[place - 1].Value.Value!.Value), series.Averages?.Averages[place], [.. flags]);
    }
}

/// <summary>A figure of one measurement.</summary>
/// <param name="Run">Id of the sweep, or of the first run of the screening.</param>
/// <param name="Circuit">Null for a screening, which always has the same.</param>
public sealed record PastFigure(string Run, DateTimeOffset StartedUtc, Connection? Circuit, Figure Figure);
