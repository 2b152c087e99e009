using SweepRig.Analysis;
using SweepRig.Analysis.Drift;
using SweepRig.Analysis.Studies;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Studies;

/// <summary>What a soak, or a plan repeated, reports.</summary>
internal static class SeriesFindings
{
    /// <summary>A drift that is shown at all is told of beside its chance: one test, 5 % of false alarms, as intervals have it.</summary>
    private const double Alpha = 0.05;

    public static StudyFindings Of(Series series)
    {
        var word = series.Setup is SoakSetup ? "soak" : "repeat";
        Curve[] curves = [.. series.Runs.Select(r => r.Run.Curves[0])];
        double[] hours = [.. series.Runs.Select(r => (r.At - series.Runs[0].At).TotalHours)];
        var first = Math.Min(curves.Length, Math.Max(RepeatBaseline.LeastSweeps, series.Setup.AtFirst));
        var baseline = first >= RepeatBaseline.LeastSweeps ? RepeatBaseline.Of(curves[..first], Alpha) : null;
        Figure[] shifts = [.. curves.Select(c => baseline?.Check(c)?.Shift ?? Figure.None("V", "fewer than 3 sweeps, or too few samples in common"))];
        var endsAtZero = series.Setup.PlanFor(series.Rig).Stop.Value == 0;
        var sigma = CurrentAtZero.Scatter(curves[..first]);
        Figure[] shares = [.. curves.Select(c => endsAtZero ? CurrentAtZero.Share(c, curves[..first], sigma) : Figure.None("%", "the plan does not end at 0 V drive"))];
        List<StudyFigure> figures =
        [
            new($"{word}.drift", "drift of the grid", DriftRate.Of(hours, shifts, "V")),
            new($"{word}.current-drift", "drift of the current at 0 V drive", DriftRate.Of(hours, shares, "%")),
        ];
        List<string> notes = [];
        if (series.Setup is SoakSetup soak) Settled(soak, hours, shifts, figures, notes);
        Repeats(word, shifts, figures, notes);
        if (curves.Length > 0 && endsAtZero) figures.Add(new($"{word}.current", "current at 0 V drive, last", CurrentAtZero.Of(curves[^1], MeasurementUncertainty.Of(series.Runs[^1].Run.Header))));
        notes.Add(FormattableString.Invariant($"Held against the first {first} sweeps. Drift is the slope of a weighted line; its interval is Student's."));
        return new(
            series.Setup.Kind, series.End, series.Because, figures,
            [Column("shift", "shift of the grid", "V", hours, shifts), Column("current", "current at 0 V drive, of that at first", "%", hours, shares)], notes);
    }

    private static void Settled(SoakSetup soak, double[] hours, Figure[] shifts, List<StudyFigure> figures, List<string> notes)
    {
        var half = hours.Length / 2;
        var late = DriftRate.Of(hours[half..], shifts[half..], "V");
        figures.Insert(0, new("soak.late-drift", "drift of the grid in the second half", late));
        if (late.Value is not { } rate || late.ExpandedUncertainty is not { } reach)
        {
            notes.Add($"Whether it has settled cannot be told: {late.AbsentBecause}.");
            return;
        }
        var limit = soak.SettledVoltsPerHour;
        var say = $"in the second half the grid drifted by {Engineering.Format(rate, "V", 3)} an hour, give or take {Engineering.Format(reach, "V", 2)} (95 %); up to {Engineering.Format(limit, "V", 2)} counts as settled.";
        notes.Add(Math.Abs(rate) + reach <= limit ? $"Settled: {say}" : Math.Abs(rate) - reach > limit ? $"Not settled: {say}" : $"Whether it has settled cannot be told: {say} Soak for longer.");
    }

    private static void Repeats(string word, Figure[] shifts, List<StudyFigure> figures, List<string> notes)
    {
        double[] values = [.. shifts.Select(s => s.Value).OfType<double>()];
        if (values.Length < 4)
        {
            figures.Add(new($"{word}.repeatability", "standard deviation from sweep to sweep", Figure.None("V", $"{values.Length} sweeps; 4 or more are needed")));
            return;
        }
        var chart = IndividualsChart.Of(values);
        // Relative uncertainty of a deviation by mean moving range: 0.83 over the root of their number (common practice in quality control, no source).
        var deviation = chart.MeanRange / 1.128;
        figures.Add(new($"{word}.repeatability", "standard deviation of the grid from sweep to sweep", Figure.Of(deviation, "V", deviation * 0.83 / Math.Sqrt(values.Length - 1))));
        notes.Add(chart.Outside.Count == 0
            ? $"No sweep lies outside the control limits of {Engineering.Format(chart.Lower, "V", 3)} and {Engineering.Format(chart.Upper, "V", 3)} (three deviations by moving ranges, NIST/SEMATECH e-Handbook 6.3.2.2)."
            : $"Outside the control limits of {Engineering.Format(chart.Lower, "V", 3)} and {Engineering.Format(chart.Upper, "V", 3)} lie sweeps {string.Join(", ", chart.Outside.Take(20).Select(i => i + 1))}{(chart.Outside.Count > 20 ? " and more" : "")} (three deviations by moving ranges, NIST/SEMATECH e-Handbook 6.3.2.2).");
    }

    internal static StudySeries Column(string word, string meaning, string unit, double[] hours, Figure[] values) =>
        new(word, "time", "h", meaning, unit, hours, [.. values.Select(v => v.Value ?? double.NaN)], [.. values.Select(v => v.Uncertainty ?? double.NaN)]);
}
