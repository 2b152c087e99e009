using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Fits;

/// <summary>Another plate resistor or rail: what is asked for, what is predicted, and whether it held. Pure.</summary>
public static class Predictions
{
    private const double CoverageFactor = 2;

    /// <summary>The connection that is asked for, from that of a run.</summary>
    /// <param name="like">Of the run.</param>
    /// <param name="plateResistorOhms">Null keeps it.</param>
    /// <param name="plateRailVolts">Null keeps it.</param>
    public static Outcome<Connection> Connection(Connection like, double? plateResistorOhms, double? plateRailVolts)
    {
        List<Refusal> faults = [];
        if (plateResistorOhms is { } ohms && !(ohms >= PlanLimits.MinOhms && ohms <= PlanLimits.MaxOhms))
        {
            faults.Add(new("plate-resistor-out-of-range", "/plateResistorOhms", $"a plate resistor of {Engineering.Format(ohms, "Ω")}",
                $"{Engineering.Format(PlanLimits.MinOhms, "Ω")} to {Engineering.Format(PlanLimits.MaxOhms, "Ω")}", "Give the resistor that the circuit will have, for example 22000."));
        }
        if (plateRailVolts is { } volts && !(volts >= PlanLimits.MinSupplyVolts && volts <= ExtraLowVoltage.Limit.Value))
        {
            faults.Add(new("plate-rail-out-of-range", "/plateRailVolts", $"a plate rail of {Engineering.Format(volts, "V")}",
                $"{Engineering.Format(PlanLimits.MinSupplyVolts, "V")} to {ExtraLowVoltage.Limit}", "Give the rail that the circuit will have, for example 24."));
        }
        return faults.Count > 0
            ? Outcome<Connection>.Refuse(faults)
            : Outcome<Connection>.Accept(like with { PlateResistor = new(plateResistorOhms ?? like.PlateResistor.Value), PlateRail = new(plateRailVolts ?? like.PlateRail.Value) });
    }

    /// <returns>The prediction; refused, with the path of the runs, when there is no fit to predict with.</returns>
    public static Outcome<PredictionView> Of(ChosenRuns runs, TubeModelFit fit, Connection connection)
    {
        if (Refusals(fit) is { Count: > 0 } refusals) return Outcome<PredictionView>.Refuse(refusals);
        var plan = runs.First.Record.Header.Plan;
        var predicted = OutputPrediction.Of(fit, connection, TubeFits.Known(runs.First, connection), plan.Start.Value, plan.Stop.Value, Math.Min(plan.Points, 401));
        if (predicted is null) return Outcome<PredictionView>.Refuse(NoSolution("/plateResistorOhms"));
        var sweep = TubeFits.Plan(plan, new(connection, plan.Start.Value, plan.Stop.Value, plan.Points), Name(connection)) with { Direction = plan.Direction };
        return Outcome<PredictionView>.Accept(new(
            runs.Ids, BenchViews.Of(runs.First.InForce), BenchViews.Word(fit.Status), FitViewMaker.Says(fit), connection.PlateResistor.Value, connection.PlateRail.Value,
            predicted.RailVolts, predicted.Drive, predicted.Plate, predicted.Uncertainty, CoverageFactor, predicted.ScatterVolts, [.. predicted.Beyond],
            PlanReading.Write(sweep)));
    }

    /// <param name="measured">A run of the same tube that the fit has not seen.</param>
    public static Outcome<PredictionCheckView> Check(ChosenRuns runs, TubeModelFit fit, RecordedRun measured)
    {
        if (Refusals(fit) is { Count: > 0 } refusals) return Outcome<PredictionCheckView>.Refuse(refusals);
        if (PredictionChecker.Of(fit, TubeFits.Model(measured)) is not { } check) return Outcome<PredictionCheckView>.Refuse(NoSolution("/run"));
        return Outcome<PredictionCheckView>.Accept(View(runs, measured, check));
    }

    /// <param name="runs">That predicted.</param>
    /// <param name="measured">That it was held against.</param>
    public static PredictionCheckView View(ChosenRuns runs, RecordedRun measured, PredictionCheck check)
    {
        var passes = measured.Curves.ToDictionary(c => c.Pass.Index, c => c.Pass);
        return new(
            runs.Ids, measured.Record.Header.Id, check.Within ? "held" : check.Contradicted ? "failed" : "edge", check.Within, Says(check), check.CoverageFactor, check.WorstDrive, check.WorstDeviation, check.WorstAllowed, check.Points, check.PointsWithin,
            [.. check.Passes.Select(p => new CheckedPredictionPassView(BenchViews.Of(passes[p.Pass]), p.Drive, p.Measured, p.Predicted, p.Uncertainty))]);
    }

    /// <summary>Of the plan that checks it.</summary>
    public static string Name(Connection connection) => $"Check of a prediction: {Engineering.Format(connection.PlateResistor.Value, "Ω")} at {Engineering.Format(connection.PlateRail.Value, "V")}";

    private static string Says(PredictionCheck check)
    {
        var worst = $"largest against what was stated: {Engineering.Format(check.WorstDeviation, "V", 2)} at {Engineering.Format(check.WorstDrive, "V", 3)} of drive, stated ±{Engineering.Format(check.WorstAllowed, "V", 2)}";
        return check.Within
            ? $"Within the stated uncertainty at all {check.Points} points; {worst}."
            : $"Outside the stated uncertainty at {check.Points - check.PointsWithin} of {check.Points} points{(check.Contradicted ? "" : ", by no more than chance does to one true prediction in twenty")}; {worst}.";
    }

    /// <summary>Why there is no fit to work with; empty when there is one.</summary>
    /// <param name="without">What cannot be done without.</param>
    internal static List<Refusal> Refusals(TubeModelFit fit, string without = "without a fit nothing is predicted") => fit.Status == ModelFitStatus.Refused
        ? [.. fit.Findings.Select(f => new Refusal(f.Code, "/with", f.Says.TrimEnd('.'), without, f.Remedy))]
        : [];

    private static Refusal NoSolution(string path) =>
        new("no-solution", path, "this connection", "the model finds no state of the circuit there", "Give values nearer to those that were measured.");
}
