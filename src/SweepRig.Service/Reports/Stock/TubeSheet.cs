using SweepRig.Analysis.Health;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Reports.Stock;

/// <summary>All that the sheet of a tube is made from.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Booked">As the stock has it; null for one that was measured and never booked in.</param>
/// <param name="Recorded">All its runs, the newest first.</param>
/// <param name="Newest">Its newest complete sweep in each connection.</param>
/// <param name="Screened">The step of its newest screening; null for none.</param>
/// <param name="Health">What that screening says; null for none, or when it cannot be read.</param>
/// <param name="MadeUtc">When the sheet was asked for.</param>
public sealed record TubeSheet(
    string Label, StockTube? Booked, IReadOnlyList<RunRecord> Recorded, IReadOnlyList<RecordedRun> Newest, RunRecord? Screened, HealthReport? Health, DateTimeOffset MadeUtc)
{
    /// <summary>Of its type; null where it has none.</summary>
    public string? Caution { get; init; }

    /// <summary>Null while nobody knows.</summary>
    public string? TypeName => Booked?.TypeName ?? (Recorded.Count > 0 ? Recorded[0].Header.Tube.TypeName : null);

    public string? Lot => Booked?.Lot ?? (Recorded.Count > 0 ? Recorded[0].Header.Tube.Lot : null);

    /// <returns>Refused when neither stock nor runs know the number.</returns>
    public static async Task<Outcome<TubeSheet>> ReadAsync(
        RunStore runs, CalibrationStore calibrations, StockStore stock, TypeCatalogue types, string label, DateTimeOffset madeUtc, CancellationToken cancellationToken)
    {
        var booked = await stock.FindAsync(label, cancellationToken);
        var recorded = await runs.OfTubeAsync(label, cancellationToken);
        if (booked is null && recorded.Count == 0) return Outcome<TubeSheet>.Refuse(StockStore.Unknown(label));
        var newest = new List<RecordedRun>();
        foreach (var kind in Enum.GetValues<ConnectionKind>())
            if (recorded.FirstOrDefault(r => IsSweep(r) && r.Header.Plan.Connection.Kind == kind) is { } sweep) newest.Add(await RecordedRun.ReadAsync(runs, sweep, cancellationToken));
        var screened = recorded.FirstOrDefault(r => r.Header.Screening is not null);
        var health = screened is null ? null : await RecordedScreening.ReadAsync(runs, calibrations, screened, null, cancellationToken);
        var sheet = new TubeSheet(label, booked, recorded, newest, screened, health is { IsAccepted: true } ? health.Value : null, madeUtc);
        return Outcome<TubeSheet>.Accept(sheet with { Caution = sheet.TypeName is { } type ? types.Find(type)?.Caution : null });
    }

    /// <summary>A sweep whose levels count: whole, of one pair of supplies, and no step of a screening.</summary>
    public static bool IsSweep(RunRecord run) => run.State == RunState.Complete && run.Header is { Screening: null, Plan.SecondSource: null };
}
