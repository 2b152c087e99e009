using SweepRig.Domain;
using SweepRig.Storage;

namespace SweepRig.Service.Exports;

/// <summary>Which runs an export is of.</summary>
public static class ExportChoice
{
    /// <param name="named">Ids of runs that are there.</param>
    /// <param name="lots">Names; all runs of their tubes.</param>
    /// <param name="tubes">Numbers as they are written on tubes; all their runs.</param>
    /// <returns>Ids, the oldest first and each once; refused where a lot is not there, or nothing was recorded.</returns>
    public static async Task<Outcome<IReadOnlyList<string>>> IdsAsync(
        RunStore runs, StockStore stock, IReadOnlyList<string> named, IReadOnlyList<string> lots, IReadOnlyList<string> tubes, CancellationToken cancellationToken)
    {
        List<string> labels = [.. tubes];
        List<Refusal> faults = [];
        foreach (var lot in lots)
        {
            var of = await stock.TubesAsync(lot, cancellationToken);
            if (of.Count == 0) faults.Add(new("lot-unknown", "/lot", $"lot {lot}", "the stock has none of that name", "See sweeprig stock list --lots."));
            labels.AddRange(of.Select(t => t.Label));
        }
        List<string> ids = [.. named];
        foreach (var label in labels) ids.AddRange((await runs.OfTubeAsync(label, cancellationToken)).Select(r => r.Header.Id));
        if (faults.Count == 0 && ids.Count == 0)
        {
            faults.Add(lots.Count + tubes.Count == 0
                ? new("nothing-named", "/run", "runs to export", "none was named", "Name a run, a tube or a lot.")
                : new("no-runs", lots.Count > 0 ? "/lot" : "/tube", $"runs of {string.Join(", ", lots.Select(l => $"lot {l}").Concat(tubes))}", "none is on record", "Sweep the tubes first, or see sweeprig runs list."));
        }
        return faults.Count > 0 ? Outcome<IReadOnlyList<string>>.Refuse(faults) : Outcome<IReadOnlyList<string>>.Accept([.. ids.Distinct().Order(StringComparer.Ordinal)]);
    }
}
