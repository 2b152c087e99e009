using System.Collections.Concurrent;
using SweepRig.Analysis.Models;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Networks;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Logic;

/// <summary>A tube as circuits are reckoned with it.</summary>
/// <param name="Tube">Its constants.</param>
/// <param name="Swept">Connections of the sweeps that they come from.</param>
/// <param name="Doubt">What speaks against the fit; null when nothing does.</param>
public sealed record FittedTube(ShelfTube Tube, IReadOnlyList<ConnectionKind> Swept, string? Doubt);

/// <summary>
/// Tubes fitted to their newest whole sweep in either connection. A fit takes a second or so, and runs that have ended never change: what was fitted is kept for the next asking.
/// Safe from any thread.
/// </summary>
public sealed class FittedTubes(Workbench workbench, TypeCatalogue types)
{
    /// <summary>Code of the refusal of a tube without a whole sweep.</summary>
    public const string NeverSwept = "never-swept";

    private const int MostKept = 20_000;

    private readonly ConcurrentDictionary<string, Outcome<FittedTube>> _kept = new(StringComparer.Ordinal);

    /// <param name="runs">Null where nothing was ever recorded.</param>
    /// <param name="number">As written on the tube.</param>
    /// <returns>Refused, with the sweep that would help, when there is none or it gives no model.</returns>
    public async Task<Outcome<FittedTube>> FindAsync(RunStore? runs, string number, CancellationToken cancellation)
    {
        if (runs is null) return Unmeasured(number);
        var newest = await NewestAsync(runs, number, cancellation);
        if (newest.Count == 0) return Unmeasured(number);
        var key = string.Join(' ', newest.Select(r => r.Header.Id));
        if (_kept.TryGetValue(key, out var kept)) return kept;
        var curves = new List<RecordedRun>();
        foreach (var record in newest) curves.Add(await RecordedRun.ReadAsync(runs, record, cancellation));
        var fitted = await workbench.RunAsync(() => Fit(number, curves, cancellation), cancellation);
        if (_kept.Count >= MostKept) _kept.Clear();
        return _kept[key] = fitted;
    }

    /// <summary>The newest whole sweep in each connection that a tube, or the section that its number names, has one in.</summary>
    public static async Task<IReadOnlyList<RunRecord>> NewestAsync(RunStore runs, string number, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(runs);
        var section = TubeNumber.Split(number).Section;
        return TubeFigures.NewestSweeps([.. (await runs.OfTubeAsync(number, cancellation)).Where(r => r.Header.Tube.Section == section)]);
    }

    public static Outcome<FittedTube> Unmeasured(string number) => Outcome<FittedTube>.Refuse(new Refusal(
        NeverSwept, "", $"no whole sweep of tube {number} is on record", "a network is reckoned from what sweeps have shown", $"Sweep it in the connection it is to have: sweeprig sweep gentle-pentode --tube {number}."));

    /// <returns>Unit: A; null where the type is not known, or has no heater of about this voltage.</returns>
    internal static double? HeaterAmps(TypeCatalogue types, string type, double heater) => types.Find(type)?.Heaters.FirstOrDefault(h => Math.Abs(h.Voltage.Value - heater) < 0.2 * heater)?.Current.Value;

    private Outcome<FittedTube> Fit(string number, List<RecordedRun> curves, CancellationToken cancellation)
    {
        var fit = TubeFits.Fit(curves, cancellation);
        if (fit.Tube is null)
        {
            return Outcome<FittedTube>.Refuse(new Refusal(
                "no-model", "", $"the newest sweeps of {number} give no model: {FitViewMaker.Says(fit)}", "a network is reckoned from the constants of its tubes", fit.Findings is [{ Remedy: { Length: > 0 } remedy }, ..] ? remedy : $"Sweep it again: sweeprig sweep gentle-pentode --tube {number}."));
        }
        var (tube, heater) = (curves[0].Record.Header.Tube, curves[0].Record.Header.Plan.Connection.Heater.Value);
        var shelved = new ShelfTube(number, tube.TypeName, fit.Tube, heater)
        {
            Range = fit.Range,
            HeaterAmps = HeaterAmps(types, tube.TypeName, heater),
        };
        return Outcome<FittedTube>.Accept(new(shelved, [.. curves.Select(c => c.Record.Header.Plan.Connection.Kind)], fit.Status == ModelFitStatus.Doubtful ? FitViewMaker.Says(fit) : null));
    }
}
