using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Headers;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>
/// Texts that many runs have in common, kept once: the plan, and what a rig and its calibration say of themselves. Never changed and never taken away, so that
/// what was read once need not be read again.
/// </summary>
internal sealed class SharedTexts
{
    private const int MostNumbers = 256, MostBodies = 64;

    private readonly ConcurrentDictionary<string, long> _numbers = new();
    private readonly ConcurrentDictionary<long, string> _bodies = new();

    /// <summary>The row of a run that begins, with its texts kept.</summary>
    /// <param name="bench">That records it; null where it was none of this store.</param>
    public async Task<RunRow> RowAsync(RunContext context, RunHeader header, string? bench, CancellationToken cancellationToken)
    {
        var (setup, own) = HeaderJson.WriteParts(header);
        var plan = await KeepAsync(context, HeaderJson.WritePlan(header.Plan), cancellationToken).ConfigureAwait(false);
        return RunRows.From(header, bench, plan, await KeepAsync(context, setup, cancellationToken).ConfigureAwait(false), own);
    }

    /// <summary>
    /// Keeps a text. To be called outside of transactions, or with an object that ends with the transaction: what is remembered must be there. A text that no run
    /// came to use does no harm.
    /// </summary>
    /// <returns>Its number.</returns>
    public async Task<long> KeepAsync(RunContext context, string body, CancellationToken cancellationToken)
    {
        var hash = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(body)));
        if (_numbers.TryGetValue(hash, out var known)) return known;
        // Another bench may keep the same text at the same time. Both databases have these words.
        await context.Database.ExecuteSqlAsync($"INSERT INTO texts (hash, body) VALUES ({hash}, {body}) ON CONFLICT (hash) DO NOTHING", cancellationToken).ConfigureAwait(false);
        var number = await context.Texts.Where(t => t.Hash == hash).Select(t => t.Number).SingleAsync(cancellationToken).ConfigureAwait(false);
        if (_numbers.Count >= MostNumbers) _numbers.Clear();
        return _numbers[hash] = number;
    }

    /// <summary>Reads those of some runs, in as few questions as there are new ones.</summary>
    public async Task<IReadOnlyDictionary<long, string>> ReadAsync(RunContext context, IEnumerable<RunRow> runs, CancellationToken cancellationToken)
    {
        var found = new Dictionary<long, string>();
        List<long> missing = [];
        foreach (var number in runs.SelectMany(r => new[] { r.PlanText, r.SetupText }).OfType<long>().Distinct())
        {
            if (_bodies.TryGetValue(number, out var body)) found[number] = body;
            else missing.Add(number);
        }
        if (missing.Count == 0) return found;
        foreach (var row in await context.Texts.AsNoTracking().Where(t => missing.Contains(t.Number)).ToListAsync(cancellationToken).ConfigureAwait(false))
        {
            if (_bodies.Count >= MostBodies) _bodies.Clear();
            found[row.Number] = _bodies[row.Number] = row.Body;
        }
        return found;
    }
}
