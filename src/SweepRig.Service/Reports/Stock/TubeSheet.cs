using SweepRig.Analysis;
using SweepRig.Analysis.Health;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Service.Studies;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Reports.Stock;

/// <summary>All that the sheet of a tube is made from.</summary>
/// <param name="Label">The number written on it.</param>
/// <param name="Booked">As the stock has it; null for one that was measured and never booked in.</param>
/// <param name="Recorded">All its runs, the newest first.</param>
/// <param name="Newest">Its newest complete sweep in each connection, of each section.</param>
/// <param name="Screened">The step of its newest screening; null for none.</param>
/// <param name="Health">What that screening says; null for none, or when it cannot be read.</param>
/// <param name="MadeUtc">When the sheet was asked for.</param>
public sealed record TubeSheet(
    string Label, StockTube? Booked, IReadOnlyList<RunRecord> Recorded, IReadOnlyList<RecordedRun> Newest, RunRecord? Screened, HealthReport? Health, DateTimeOffset MadeUtc)
{
    /// <summary>What was measured more than once in one circuit.</summary>
    public IReadOnlyList<DriftView> Drifts { get; init; } = [];

    /// <summary>Its newest study of each kind, that can be read.</summary>
    public IReadOnlyList<StudyView> Studies { get; init; } = [];

    /// <summary>Of its type; null where it has none.</summary>
    public string? Caution { get; init; }

    /// <summary>Null while nobody knows.</summary>
    public string? TypeName => Booked?.TypeName ?? (Recorded.Count > 0 ? Recorded[0].Header.Tube.TypeName : null);

    public string? Lot => Booked?.Lot ?? (Recorded.Count > 0 ? Recorded[0].Header.Tube.Lot : null);

    /// <summary>Levels whose drift is told.</summary>
    private static readonly string[] Followed = ["switching-drive", "vol"];

    /// <returns>Refused when neither stock nor runs know the number.</returns>
    public static async Task<Outcome<TubeSheet>> ReadAsync(
        RunStore runs, CalibrationStore calibrations, StockStore stock, TypeCatalogue types, FigureShelf shelf, string label, DateTimeOffset madeUtc, CancellationToken cancellationToken)
    {
        var booked = await stock.FindAsync(label, cancellationToken);
        var recorded = await runs.OfTubeAsync(label, cancellationToken);
        if (booked is null && recorded.Count == 0) return Outcome<TubeSheet>.Refuse(StockStore.Unknown(label));
        var newest = new List<RecordedRun>();
        // Each section of a double tube for itself.
        foreach (var sweep in recorded.Where(IsSweep).GroupBy(r => (r.Header.Tube.Section, r.Header.Plan.Connection.Kind)).OrderBy(g => g.Key.Section).ThenBy(g => g.Key.Kind).Select(g => g.First()))
            newest.Add(await RecordedRun.ReadAsync(runs, sweep, cancellationToken));
        var screened = recorded.FirstOrDefault(r => r.Header.Screening is not null);
        var health = screened is null ? null : await RecordedScreening.ReadAsync(runs, calibrations, screened, null, cancellationToken);
        var drifts = new List<DriftView>();
        foreach (var quantity in newest.SelectMany(n => Followed.Select(f => Quantity(n.Header, f))))
        {
            var drift = await TubeDrift.ReadAsync(runs, shelf, label, quantity, TubeDrift.UsualWeight, null, cancellationToken);
            if (drift is { IsAccepted: true, Value.Points.Length: > 1 }) drifts.Add(drift.Value);
        }
        var studies = new List<StudyView>();
        foreach (var run in recorded.Where(r => r.Header.Study is not null).GroupBy(r => r.Header.Study!.Kind).OrderBy(g => g.Key).Select(g => g.First()))
            if (await RecordedStudy.ReadAsync(runs, calibrations, run, null, cancellationToken) is { IsAccepted: true } study) studies.Add(study.Value.View);
        var sheet = new TubeSheet(label, booked, recorded, newest, screened, health is { IsAccepted: true } ? health.Value : null, madeUtc);
        return Outcome<TubeSheet>.Accept(sheet with { Drifts = drifts, Studies = studies, Caution = sheet.TypeName is { } type ? types.Find(type)?.Caution : null });
    }

    private static NamedQuantity Quantity(RunHeader run, string level)
    {
        var word = $"{BenchViews.Word(run.Plan.Connection.Kind)}.{level}";
        return StockQuantities.Find(run.Tube.Section is { } section ? StockQuantities.OfSection(word, section) : word, "").Value!;
    }

    /// <summary>A sweep whose levels count: whole, of one pair of supplies, and no part of a screening or study.</summary>
    public static bool IsSweep(RunRecord run) => run.State == RunState.Complete && run.Header is { Screening: null, Study: null, Plan.SecondSource: null };
}
