using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Reports;

/// <summary>The fitted tube on paper: status, constants with intervals, and what the fit leaves over.</summary>
internal static class ReportFit
{
    // More passes lie on top of each other.
    private const int MostPasses = 6;

    public static ReportSection Of(ChosenRuns runs, TubeModelFit fit)
    {
        var view = FitViewMaker.Of(runs, fit);
        string[] lead = [view.Says, .. FitText.Findings(view)];
        if (view.Constants.Length == 0) return new(Heading, [], [], []) { Lead = lead };
        List<string> notes = [];
        if (runs.Runs.Count > 1) notes.Add($"Fitted together: runs {string.Join(", ", runs.Ids)}.");
        var table = new ReportTable("", ["constant", "unit", "value", "95 % interval"], [.. view.Constants.Select(Row)]);
        notes.AddRange(FitText.Open(view));
        if (FitText.Range(view) is { } range) notes.Add(range);
        return new(Heading, Residuals(runs, fit), [table], notes) { Lead = lead };
    }

    private const string Heading = "Fit of the tube";

    private static string[] Row(FittedConstantView constant)
    {
        var (value, interval, unit) = FitText.Cells(constant);
        return [constant.Title, unit, value, interval];
    }

    private static ReportFigure[] Residuals(ChosenRuns runs, TubeModelFit fit)
    {
        var plate = fit.Residuals.Where(r => r.Place == VoltagePlace.Plate).ToArray();
        if (plate.Length == 0) return [];
        var shown = plate.Take(MostPasses).ToArray();
        // Of all passes shown: a line that is true for each of them would be a line each.
        var scatter = 2e3 * shown.Max(r => r.ScatterVolts);
        var left = plate.Length > shown.Length ? $", {shown.Length} of {plate.Length} passes" : "";
        var wild = fit.WildReadings > 0 ? $"; {fit.WildReadings} wild readings are left out" : "";
        return
        [
            new($"Measured less fitted output{left}; dashed: twice the scatter of a single reading, {Engineering.Format(scatter * 1e-3, "V", 2)}{wild}", "drive (V)", "measured − fitted (mV)",
                [.. shown.Select(r => Dots(r, Label(runs, r)))])
            {
                Lines = [new(0, ""), new(scatter, ""), new(-scatter, "")],
            },
        ];
    }

    // The fit counts model less reading, in units of the scatter.
    private static ReportCurve Dots(PassResiduals pass, string label)
    {
        var used = Enumerable.Range(0, pass.Drive.Length).Where(i => !pass.Wild[i]).OrderBy(i => pass.Drive[i]).ToArray();
        return new(label, Array.ConvertAll(used, i => pass.Drive[i]), Array.ConvertAll(used, i => -1e3 * pass.Residual[i] * pass.ScatterVolts)) { IsDots = true };
    }

    private static string Label(ChosenRuns runs, PassResiduals pass)
    {
        var run = runs.Runs.First(r => r.Record.Header.Id == pass.Run);
        var word = ReportFigures.Label(run.Record.Header.Passes[pass.Pass], run.Curves);
        return runs.Runs.Count == 1 ? word : $"{Live.BenchViews.Word(run.Record.Header.Plan.Connection.Kind)} {word}";
    }
}
