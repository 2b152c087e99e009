using SweepRig.Analysis.Laws;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Fits;

/// <summary>Fits the plain laws beside the model of the tube and turns them into what page, REST and command line show. Pure.</summary>
public static class LawViewMaker
{
    private const string Remark =
        "Each law is fitted to the readings with the drive below 0 V and without grid current, which it does not know of. Its uncertainties are those of the scatter, widened where it misses; calibration and resistors are not in them.";

    /// <param name="laws">Which; null for all that speak of the runs' connections.</param>
    public static LawsView Of(ChosenRuns chosen, IReadOnlyCollection<PlainLaw>? laws, CancellationToken cancellation)
    {
        ModelRun[] runs = [.. chosen.Runs.Select(TubeFits.Model)];
        var model = TubeFits.Fit(chosen, cancellation);
        var compared = laws is null ? LawComparison.All(runs, model) : [.. laws.Select(l => LawComparison.Of(l, runs, model))];
        return new(chosen.Ids, BenchViews.Of(chosen.First.InForce), Remark, [.. compared.Select(View)]);
    }

    private static LawView View(LawComparison compared)
    {
        var fit = compared.Fit;
        var (title, source) = fit.Law switch
        {
            PlainLaw.ThreeHalves => ("3/2-power law", "Langmuir 1913, Phys. Rev. 2, 450"),
            PlainLaw.FreeExponent => ("Power law, exponent fitted", "Langmuir 1913, Phys. Rev. 2, 450, for the form"),
            PlainLaw.KorenTriode => ("Koren's triode", "Koren 1996, Glass Audio 8/5, 18"),
            PlainLaw.KorenPentode => ("Koren's pentode", "Koren 1996, Glass Audio 8/5, 18"),
            _ => throw new ArgumentOutOfRangeException(nameof(compared), fit.Law, "SweepRig bug: this law has no words."),
        };
        return new(
            BenchViews.Word(fit.Law), title, source, fit.Connection == ConnectionKind.Triode ? "triode" : "pentode",
            [.. fit.Findings.Select(f => new FindingView(f.Code, f.Says, f.Remedy))],
            [.. fit.Constants.Select(c => new LawConstantView(c.Symbol, c.Figure))],
            BenchViews.Finite(fit.OutputRmsVolts), compared.ModelRmsVolts, BenchViews.Finite(fit.Scale),
            fit.Residuals.Where(r => r.Place == VoltagePlace.Plate).Sum(r => r.Drive.Length));
    }
}
