using System.Globalization;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Fits;

/// <summary>Turns a fit into what page, REST and command line show. Pure.</summary>
public static class FitViewMaker
{
    public static FitView Of(ChosenRuns runs, TubeModelFit fit) => new(
        runs.Ids, BenchViews.Of(runs.First.InForce), BenchViews.Word(fit.Status), Says(fit),
        [.. fit.Findings.Select(f => new FindingView(f.Code, f.Says, f.Remedy))],
        [.. fit.Constants.Select(c => Constant(c, runs.First.Record.Header.Plan))],
        [.. Passes(runs, fit)],
        fit.Readings, fit.WildReadings, BenchViews.Finite(fit.Scale), fit.Starts, fit.AgreeingStarts,
        fit.Range is { } r ? new(r.LowestDrive, r.HighestDrive, r.LowestRail, r.HighestRail, r.LowestPlate, r.HighestCathodeAmps) : null)
    {
        SwitchingPoint = fit.Tube is null ? null : TubeFits.SwitchingPoint(runs.First, fit),
    };

    /// <summary>The status in a sentence.</summary>
    public static string Says(TubeModelFit fit) => fit.Status switch
    {
        ModelFitStatus.Good => $"The model describes {fit.Readings} readings to {Times(fit.Scale)} their own scatter; constants and intervals may be used.",
        ModelFitStatus.Doubtful => $"There are numbers, but do not rely on them: {fit.Findings[0].Says}",
        _ => $"No fit: {fit.Findings[0].Says}",
    };

    public static NeededSweepView Needed(NeededSweep needed, SweepPlan like, string name) => needed.Sweep is { } sweep
        ? new(needed.Says, sweep.NeedsPermit, PlanReading.Write(TubeFits.Plan(like, sweep, name)))
        : new(needed.Says, false, null);

    private static FittedConstantView Constant(FittedConstant c, SweepPlan like)
    {
        var title = ConstantWords.Title(c.Constant);
        return new(
            ConstantWords.Name(c.Constant), title, c.Figure, c.Low, c.High,
            c.NeededSweep is { } needed ? Needed(needed, like, $"To tell: {char.ToLowerInvariant(title[0])}{title[1..]}") : null);
    }

    private static IEnumerable<FittedPassView> Passes(ChosenRuns runs, TubeModelFit fit)
    {
        foreach (var run in runs.Runs)
            foreach (var curve in run.Curves)
            {
                var of = fit.Residuals.Where(r => r.Run == run.Record.Header.Id && r.Pass == curve.Pass.Index).ToArray();
                if (of.FirstOrDefault(r => r.Place == VoltagePlace.Plate) is not { } plate) continue;
                var places = Places(curve, plate);
                var residual = Residual(curve, places, plate);
                yield return new(
                    run.Record.Header.Id, BenchViews.Of(curve.Pass), Nullable(curve.Drive), Nullable(curve.Plate),
                    [.. residual.Select((d, i) => d is { } volts ? curve.Plate[i] - volts : (double?)null)], residual,
                    Residual(curve, places, of.FirstOrDefault(r => r.Place == VoltagePlace.Grid)),
                    Residual(curve, places, of.FirstOrDefault(r => r.Place == VoltagePlace.Screen)),
                    plate.ScatterVolts, [.. Enumerable.Range(0, places.Length).Where(k => plate.Wild[k]).Select(k => places[k])]);
            }
    }

    // Which points of the curve the fit has used: they stand in the same order, with the same drive.
    private static int[] Places(Curve curve, PassResiduals used)
    {
        var places = new int[used.Drive.Length];
        for (int k = 0, i = 0; k < places.Length; k++, i++)
        {
            while (curve.Drive[i] != used.Drive[k]) i++;
            places[k] = i;
        }
        return places;
    }

    private static double?[] Residual(Curve curve, int[] places, PassResiduals? of)
    {
        var column = new double?[curve.Count];
        // The fit counts model less reading.
        for (var k = 0; of is not null && k < places.Length; k++) column[places[k]] = BenchViews.Finite(-of.Residual[k] * of.ScatterVolts);
        return column;
    }

    private static double?[] Nullable(double[] column) => Array.ConvertAll(column, v => BenchViews.Finite(v));

    private static string Times(double scale) => scale.ToString("0.0#", CultureInfo.InvariantCulture) + " times";
}
