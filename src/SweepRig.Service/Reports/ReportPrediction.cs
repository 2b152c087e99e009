using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Reports;

/// <summary>The output with other plate resistors or another rail on paper, beside the measured one.</summary>
internal static class ReportPrediction
{
    private const int Points = 201;
    private const double CoverageFactor = 2;

    /// <summary>What a builder asks first where nothing else was asked: half and twice the plate resistor.</summary>
    public static IReadOnlyList<Connection> Usual(Connection like) => [With(like, 0.5), With(like, 2)];

    /// <param name="fit">Not a refused one.</param>
    public static ReportSection Of(ChosenRuns runs, TubeModelFit fit, IReadOnlyList<Connection> asked)
    {
        var plan = runs.First.Record.Header.Plan;
        var predicted = asked.Select(c => OutputPrediction.Of(fit, c, TubeFits.Known(runs.First, c), plan.Start.Value, plan.Stop.Value, Points)).OfType<PredictedCurve>().ToArray();
        if (predicted.Length == 0) return new(Heading, [], [], ["The model finds no state of the circuit there. Give values nearer to those that were measured."]);
        List<string> notes = [];
        string[] lead = fit.Status == ModelFitStatus.Doubtful ? ["The fit is doubtful, and so is what it predicts: measure before you build."] : [];
        notes.AddRange(predicted.SelectMany(p => p.Beyond.Select(b => $"{Name(p.Connection)}: {b}")));
        notes.Add("The bands hold the output at a drive with 95 % probability, for this tube as it was when it was measured. A sweep with the resistor or rail in place tells whether it holds.");
        var measured = ReportFigures.Output(runs.First, $"measured, {Short(plan.Connection)}");
        return new(Heading,
            [
                new("Output predicted from the fit, with the measured one", "drive (V)", "output (V)",
                    [.. measured is null ? [] : (ReportCurve[])[measured], .. predicted.Select(p => new ReportCurve(Short(p.Connection), p.Drive, p.Plate) { HalfWidth = [.. p.Uncertainty.Select(u => CoverageFactor * u)] })]),
            ],
            [
                new("", ["predicted output", "", .. predicted.Select(p => Name(p.Connection))],
                    [Row("highest", predicted, p => Array.IndexOf(p.Plate, p.Plate.Max())), Row("lowest", predicted, p => Array.IndexOf(p.Plate, p.Plate.Min()))]),
            ],
            notes) { Lead = lead };

        // At a curve's end there is room for what is not the same for all.
        string Short(Connection c) => asked.All(a => a.PlateRail == plan.Connection.PlateRail) ? Engineering.Format(c.PlateResistor.Value, "Ω", 3)
            : asked.All(a => a.PlateResistor == plan.Connection.PlateResistor) ? Engineering.Format(c.PlateRail.Value, "V", 3) : Name(c);
    }

    private const string Heading = "Prediction";

    private static string[] Row(string name, PredictedCurve[] predicted, Func<PredictedCurve, int> at) =>
        [name, "V", .. predicted.Select(p => FigureText.Of(Analysis.Figure.Of(p.Plate[at(p)], "V", p.Uncertainty[at(p)])))];

    private static string Name(Connection c) => $"{Engineering.Format(c.PlateResistor.Value, "Ω", 3)} at {Engineering.Format(c.PlateRail.Value, "V", 3)}";

    private static Connection With(Connection like, double times) => like with { PlateResistor = new(times * like.PlateResistor.Value) };
}
