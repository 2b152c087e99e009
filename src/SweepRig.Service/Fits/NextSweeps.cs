using System.Globalization;
using SweepRig.Analysis.Designs;
using SweepRig.Analysis.Models;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Fits;

/// <summary>Which sweep to make next. Pure.</summary>
public static class NextSweeps
{
    // Below this gain a further sweep is not worth its time.
    private const double Worthwhile = 0.9;

    /// <param name="wanted">See <see cref="WantedQuantities"/>; null for the switching point.</param>
    /// <param name="highestDrive">Volts, 0 or more; null for as high as the runs went. Above 0 V sweeps need a permit.</param>
    public static Outcome<NextSweepView> Propose(ChosenRuns runs, string? wanted, double? highestDrive, CancellationToken cancellation)
    {
        var word = wanted ?? WantedQuantities.Switching;
        var quantity = WantedQuantities.Read(word, runs.First);
        List<Refusal> faults = [.. quantity.IsAccepted ? [] : quantity.Refusals];
        if (highestDrive is { } asked && !(asked >= 0 && asked <= PlanLimits.MaxDriveVolts))
            faults.Add(new("highest-drive-out-of-range", "/highestDriveVolts", $"a highest drive of {new Volts(asked)}", $"0 V to {new Volts(PlanLimits.MaxDriveVolts)} is allowed", "Give 0 for sweeps that need no permit."));
        if (!quantity.IsAccepted || faults.Count > 0) return Outcome<NextSweepView>.Refuse(faults);
        var fit = TubeFits.Fit(runs, cancellation);
        if (Predictions.Refusals(fit, "without a fit no sweep can be weighed against another") is { Count: > 0 } refusals) return Outcome<NextSweepView>.Refuse(refusals);

        var plan = runs.First.Record.Header.Plan;
        var highest = highestDrive ?? Math.Max(0, runs.Runs.Max(r => r.Record.Header.Plan.Stop.Value));
        var title = WantedQuantities.Title(quantity.Value);
        if (NextSweep.Propose(fit, quantity.Value, SweepCandidates.Around(plan.Connection, plan.Start.Value, highest)) is not { } proposed)
        {
            return Outcome<NextSweepView>.Refuse(new Refusal(
                "quantity-absent", "/wanted", title, "the fitted tube has none within the drives of the run, or the model finds no state of the circuit there", "Ask for another quantity, or fit runs with a wider drive."));
        }
        return Outcome<NextSweepView>.Accept(new(
            runs.Ids, BenchViews.Word(fit.Status), FitViewMaker.Says(fit), word, title, proposed.Unit, proposed.Now, Says(proposed, title) + Doubt(fit, quantity.Value),
            [.. proposed.Ranked.Select(r => Candidate(r, plan, title))]));
    }

    /// <summary>An uncertainty in its unit, for people.</summary>
    public static string Amount(double uncertainty, string unit) => unit switch
    {
        "1" => $"{(100 * uncertainty).ToString(uncertainty < 1e-3 ? "0.000" : uncertainty < 1e-2 ? "0.00" : uncertainty < 0.1 ? "0.0" : "0", CultureInfo.InvariantCulture)} %",
        "A/V^1.5" => $"{uncertainty.ToString("0.0e0", CultureInfo.InvariantCulture)} {unit}",
        _ => Engineering.Format(uncertainty, unit, 2),
    };

    private static string Says(SweepProposal proposed, string title)
    {
        var best = proposed.Best;
        return best.Uncertainty > Worthwhile * proposed.Now
            ? $"None of these sweeps would tell {title} much better: the best would bring its standard uncertainty from {Amount(proposed.Now, proposed.Unit)} to {Amount(best.Uncertainty, proposed.Unit)}."
            : $"Sweep in {best.Sweep}: expected to bring the standard uncertainty of {title} from {Amount(proposed.Now, proposed.Unit)} to {Amount(best.Uncertainty, proposed.Unit)}.";
    }

    // The forecast is linear about the fitted value; of 10 simulated runs that did not determine the plate's mu, the sweep proposed left 6 less sure of it than before.
    private static string Doubt(TubeModelFit fit, WantedQuantity wanted) =>
        wanted is WantedQuantity.Constant { Parameter: var constant } && !fit.Of(constant).IsDetermined
            ? " The runs so far do not determine it, so this can be wrong several times over; ask again after the sweep."
            : "";

    private static CandidateSweepView Candidate(RankedSweep ranked, SweepPlan like, string title)
    {
        var (sweep, connection) = (ranked.Sweep, ranked.Sweep.Connection);
        return new(
            sweep.ToString(), connection.Kind == ConnectionKind.Triode ? "triode" : "pentode", connection.PlateRail.Value, connection.PlateResistor.Value, connection.Heater.Value, sweep.FromDrive, sweep.ToDrive,
            sweep.Points, sweep.NeedsPermit, ranked.Uncertainty, PlanReading.Write(TubeFits.Plan(like, sweep, Name(title))));
    }

    private static string Name(string title) => $"Next sweep, for {title}" is var name && name.Length <= PlanLimits.MaxNameLength ? name : name[..PlanLimits.MaxNameLength];
}
