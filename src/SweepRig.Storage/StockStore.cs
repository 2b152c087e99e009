using System.Globalization;
using Microsoft.EntityFrameworkCore;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>
/// Lots and tubes, in the store of the runs. The history of a tube is only ever added to. Safe from any thread and beside other processes and benches; throws
/// <see cref="RunStoreException"/> as the run store does.
/// </summary>
public sealed partial class StockStore(RunStore runs, TimeProvider clock)
{
    /// <summary>Of so many tubes the history is asked for by their numbers; of more, all there is is read.</summary>
    private const int MostAskedByNumber = 500;

    /// <summary>Books in tubes of a lot: a new lot, or more tubes of one that is there. They get the numbers that follow.</summary>
    /// <param name="lot">As it is to be; one that is there keeps what it has, and only its type and prefix must agree.</param>
    /// <param name="count">Tubes, 1 or more.</param>
    /// <param name="location">Box or drawer of them all; null where nobody says.</param>
    /// <returns>The tubes, or every reason why not; then nothing has changed.</returns>
    public Task<Outcome<IReadOnlyList<StockTube>>> BookAsync(Lot lot, int count, string? location, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(lot);
        List<Refusal> faults = [.. lot.Faults()];
        if (count is < 1 or > Lot.MostTubes)
            faults.Add(new("bad-count", "/count", $"{count} tubes are to be booked in", $"1 to {Lot.MostTubes} are allowed", "Count them again."));
        if (faults.Count > 0) return Task.FromResult(Outcome<IReadOnlyList<StockTube>>.Refuse(faults));
        return runs.InTurnAsync<Outcome<IReadOnlyList<StockTube>>>(
            async context =>
            {
                var row = await context.Lots.SingleOrDefaultAsync(l => l.Name == lot.Name, cancellationToken).ConfigureAwait(false);
                if (await FaultAsync(context, lot, row, cancellationToken).ConfigureAwait(false) is { } fault) return (Outcome<IReadOnlyList<StockTube>>.Refuse(fault), false);
                if (row is null)
                {
                    row = RowOf(lot);
                    context.Lots.Add(row);
                    await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                }
                var last = await context.Tubes.Where(t => t.Lot == row.Number).MaxAsync(t => (int?)t.Ordinal, cancellationToken).ConfigureAwait(false) ?? 0;
                if (last + count > Lot.MostTubes)
                {
                    return (Outcome<IReadOnlyList<StockTube>>.Refuse(new Refusal("lot-full", "/count", $"{count} more tubes are to be booked into {lot.Name}, which has {last}",
                        $"a lot holds {Lot.MostTubes}", "Begin another lot.")), false);
                }
                var booked = Enumerable.Range(last + 1, count).Select(ordinal => (Tube: Booked(lot, row.Type, ordinal, location), Row: new TubeRow { Label = lot.Label(ordinal), Lot = row.Number, Ordinal = ordinal })).ToList();
                context.Tubes.AddRange(booked.Select(b => b.Row));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                context.TubeChanges.AddRange(booked.SelectMany(b => b.Tube.History.Select(change => Row(b.Row.Number, change))));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                return (Outcome<IReadOnlyList<StockTube>>.Accept([.. booked.Select(b => b.Tube)]), true);
            },
            cancellationToken);
    }

    /// <summary>Adds a change to the history of a tube, with the present time.</summary>
    /// <returns>The tube after it, or the reason why not; then nothing has changed.</returns>
    public Task<Outcome<StockTube>> ChangeAsync(string label, TubeChangeKind kind, string text, CancellationToken cancellationToken) =>
        runs.InTurnAsync<Outcome<StockTube>>(
            async context =>
            {
                var tube = await context.Tubes.SingleOrDefaultAsync(t => t.Label == label, cancellationToken).ConfigureAwait(false);
                if (tube is null) return (Outcome<StockTube>.Refuse(Unknown(label)), false);
                var change = new TubeChange(kind, text, clock.GetUtcNow());
                var after = (await ReadAsync(context, [tube], cancellationToken).ConfigureAwait(false))[0].After(change);
                if (!after.IsAccepted) return (after, false);
                context.TubeChanges.Add(Row(tube.Number, change));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                return (after, true);
            },
            cancellationToken);

    /// <returns>The tube; null when the stock has none of that number.</returns>
    public Task<StockTube?> FindAsync(string label, CancellationToken cancellationToken) => runs.OnContextAsync(
        async context =>
        {
            var rows = await context.Tubes.AsNoTracking().Where(t => t.Label == label).ToListAsync(cancellationToken).ConfigureAwait(false);
            return rows.Count == 0 ? null : (await ReadAsync(context, rows, cancellationToken).ConfigureAwait(false))[0];
        },
        cancellationToken);

    /// <summary>All tubes, by lot and number.</summary>
    /// <param name="lot">Of this lot alone; null for all.</param>
    public Task<IReadOnlyList<StockTube>> TubesAsync(string? lot, CancellationToken cancellationToken) => runs.OnContextAsync<IReadOnlyList<StockTube>>(
        async context =>
        {
            var query = context.Tubes.AsNoTracking();
            if (lot is not null) query = query.Where(t => context.Lots.Any(l => l.Number == t.Lot && l.Name == lot));
            return await ReadAsync(context, await query.OrderBy(t => t.Lot).ThenBy(t => t.Ordinal).ToListAsync(cancellationToken).ConfigureAwait(false), cancellationToken).ConfigureAwait(false);
        },
        cancellationToken);

    /// <summary>All lots, the oldest first, each with how many tubes it has.</summary>
    public Task<IReadOnlyList<(Lot Lot, int Tubes)>> LotsAsync(CancellationToken cancellationToken) => runs.OnContextAsync<IReadOnlyList<(Lot Lot, int Tubes)>>(
        async context =>
        {
            var counts = (await context.Tubes.GroupBy(t => t.Lot).Select(g => new { g.Key, Count = g.Count() }).ToListAsync(cancellationToken).ConfigureAwait(false)).ToDictionary(g => g.Key, g => g.Count);
            var rows = await context.Lots.AsNoTracking().OrderBy(l => l.Number).ToListAsync(cancellationToken).ConfigureAwait(false);
            return rows.ConvertAll(l => (new Lot(l.Name, l.Prefix, l.Type, l.Origin, l.Price, l.Note, RunRows.Time(l.Booked)), counts.GetValueOrDefault(l.Number)));
        },
        cancellationToken);

    /// <summary>Code of the refusal of a number that the stock has not.</summary>
    public const string UnknownTube = "tube-unknown";

    public static Refusal Unknown(string label) => new(UnknownTube, "/label", $"tube {label}", "the stock has none of that number", "Check the number on the tube, or book it in first.");

    private StockTube Booked(Lot lot, string? type, int ordinal, string? location)
    {
        var tube = StockTube.Booked(lot.Label(ordinal), lot.Name, clock.GetUtcNow());
        if (type is not null) tube = Sure(tube.After(new(TubeChangeKind.Identified, type, clock.GetUtcNow())));
        return location is null ? tube : Sure(tube.After(new(TubeChangeKind.Moved, location, clock.GetUtcNow())));
    }

    private static async Task<Refusal?> FaultAsync(RunContext context, Lot lot, LotRow? row, CancellationToken cancellationToken)
    {
        if (row is null)
        {
            var taken = await context.Lots.AsNoTracking().SingleOrDefaultAsync(l => l.Prefix == lot.Prefix, cancellationToken).ConfigureAwait(false);
            return taken is null ? null : new("prefix-taken", "/prefix", $"the numbers of {lot.Name} are to begin with {lot.Prefix}", $"those of lot {taken.Name} do", "Choose another prefix.");
        }
        if (row.Prefix != lot.Prefix)
            return new("lot-has-another-prefix", "/prefix", $"the numbers of {lot.Name} are to begin with {lot.Prefix}", $"they begin with {row.Prefix}", "Leave the prefix out, or begin another lot.");
        return row.Type is not null && lot.TypeName is not null && row.Type != lot.TypeName
            ? new("lot-of-another-type", "/type", $"tubes of type {lot.TypeName} are to be booked into {lot.Name}", $"it is a lot of {row.Type}", "Begin another lot.")
            : null;
    }

    private async Task<List<StockTube>> ReadAsync(RunContext context, List<TubeRow> rows, CancellationToken cancellationToken)
    {
        var lots = (await context.Lots.AsNoTracking().ToListAsync(cancellationToken).ConfigureAwait(false)).ToDictionary(l => l.Number, l => l.Name);
        var query = context.TubeChanges.AsNoTracking();
        if (rows.Count <= MostAskedByNumber)
        {
            var numbers = rows.ConvertAll(r => r.Number);
            query = query.Where(c => numbers.Contains(c.Tube));
        }
        var changes = (await query.OrderBy(c => c.Number).ToListAsync(cancellationToken).ConfigureAwait(false)).ToLookup(c => c.Tube);
        return rows.ConvertAll(row => Sure(StockTube.Of(row.Label, lots[row.Lot], RunRows.Time(changes[row.Number].First().At), changes[row.Number].Skip(1).Select(Change))));
    }

    private TubeChange Change(TubeChangeRow row) => Enum.TryParse<TubeChangeKind>(row.Kind, out var kind)
        ? new(kind, row.Text, RunRows.Time(row.At))
        : throw Damaged(string.Create(CultureInfo.InvariantCulture, $"change {row.Number} is of the unknown kind '{row.Kind}'"));

    private StockTube Sure(Outcome<StockTube> outcome) => outcome.IsAccepted ? outcome.Value : throw Damaged($"a history does not hold together: {outcome.Refusals[0]}");

    private RunStoreException Damaged(string what) => new(runs.Name, what, "Restore the file from a backup, or use a newer SweepRig.");

    internal static LotRow RowOf(Lot lot) =>
        new() { Name = lot.Name, Prefix = lot.Prefix, Type = lot.TypeName, Origin = lot.Origin, Price = lot.Price, Note = lot.Note, Booked = RunRows.Text(lot.BookedUtc) };

    internal static TubeChangeRow Row(long tube, TubeChange change) => new() { Tube = tube, Kind = change.Kind.ToString(), Text = change.Text, At = RunRows.Text(change.AtUtc) };
}
