using SweepRig.Analysis.Families;
using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Families;

/// <summary>From recorded runs to the surface of plate current of their tube, load lines on it, and whether they held. Pure.</summary>
public static class TubeFamilies
{
    private const double CoverageFactor = 2;
    private const int PointsOfLine = 41;

    private static Outcome<PlateSurface> Surface(ChosenRuns runs) => UnderRuns(PlateSurface.Of([.. runs.Runs.Select(r => new FamilyRun(
        r.InForce.Measured(r.Record.Header.Plan.Connection), r.Record.Header.Plan.SecondSource?.Source, r.Curves, r.InForce))]), "/with");

    public static Outcome<FamilyView> View(ChosenRuns runs)
    {
        var made = Surface(runs);
        if (!made.IsAccepted) return Outcome<FamilyView>.Refuse(made.Refusals);
        var surface = made.Value;
        return Outcome<FamilyView>.Accept(new(
            runs.Ids, BenchViews.Of(runs.First.InForce), BenchViews.Word(surface.Connection.Kind), surface.Curves, surface.Drives[0], surface.Drives[^1],
            [.. FamilyLines.Drives(surface).Select(drive => Line(surface, drive))]));
    }

    /// <param name="connection">With the plate resistor and rail asked for.</param>
    /// <param name="measured">A run to hold it against; null for none.</param>
    public static Outcome<FamilyPredictionView> Predict(ChosenRuns runs, Connection connection, RecordedRun? measured)
    {
        var made = Surface(runs);
        if (!made.IsAccepted) return Outcome<FamilyPredictionView>.Refuse(made.Refusals);
        var surface = made.Value;
        var line = LineOf(runs.First, connection);
        var predicted = UnderRuns(surface.Predict(line), "/plateResistorOhms");
        if (!predicted.IsAccepted) return Outcome<FamilyPredictionView>.Refuse(predicted.Refusals);
        var check = measured is null ? null : SurfaceChecker.Of(surface, TubeFits.Model(measured));
        if (measured is not null && check is null)
        {
            return Outcome<FamilyPredictionView>.Refuse(new Refusal(
                "line-outside", "/run", $"run {measured.Record.Header.Id}", "none of its points lies within the surface", "Choose a run with a resistor between those measured, or record the family farther."));
        }
        var plan = runs.First.Record.Header.Plan;
        var value = predicted.Value;
        return Outcome<FamilyPredictionView>.Accept(new(
            runs.Ids, BenchViews.Of(runs.First.InForce), connection.PlateResistor.Value, connection.PlateRail.Value,
            value.Drive, Nullable(value.Plate), Nullable(value.PlateUncertainty), CoverageFactor, [.. Points(surface, line)], value.Outside, value.Note,
            PlanReading.Write(TubeFits.Plan(plan, new(connection, plan.Start.Value, plan.Stop.Value, plan.Points), Predictions.Name(connection)) with { Direction = plan.Direction }),
            check is null ? null : Predictions.View(runs, measured!, check)));
    }

    private static FamilyLineView Line(PlateSurface surface, double drive)
    {
        var (line, read) = (surface.Line(drive, PointsOfLine), surface.AtDrive(drive));
        return new(drive, [.. line.Select(p => p.PlateVolts)], [.. line.Select(p => p.PlateAmps)], [.. read.Select(p => p.PlateVolts)], [.. read.Select(p => p.PlateAmps)]);
    }

    private static IEnumerable<OperatingPointView> Points(PlateSurface surface, LoadLine line)
    {
        foreach (var drive in FamilyLines.Drives(surface))
            if (surface.Meeting(drive, line) is { } met) yield return new(drive, met.Plate, met.Uncertainty, line.CurrentAt(met.Plate));
    }

    /// <summary>Rail and resistor as the calibration in force knows them.</summary>
    private static LoadLine LineOf(RecordedRun run, Connection connection)
    {
        var known = TubeFits.Known(run, connection);
        var rail = known.StandardUncertainty(InputQuantity.Voltage(VoltagePlace.Supply, connection.PlateRail.Value).Times(1));
        return new(connection.PlateRail, connection.PlateResistor, double.IsFinite(rail) ? rail : 0, known.Resistors[(int)ResistorPlace.Plate].UncertaintyOhms);
    }

    private static Outcome<T> UnderRuns<T>(Outcome<T> outcome, string path)
        where T : class => outcome.IsAccepted ? outcome : Outcome<T>.Refuse([.. outcome.Refusals.Select(r => r with { Path = path })]);

    private static double?[] Nullable(double[] column) => Array.ConvertAll(column, v => BenchViews.Finite(v));
}
