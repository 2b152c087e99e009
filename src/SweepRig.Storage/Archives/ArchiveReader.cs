using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Archives;

/// <summary>
/// Takes an archive in. First all of it is read, measured and compared with what is here; then, if nothing stands against it, what is new is added in one transaction. Nothing
/// that is here is ever changed, except that histories of tubes go on.
/// </summary>
public sealed class ArchiveReader(RunStore runs, StockStore stock, CalibrationStore calibrations)
{
    /// <summary>Looks at an archive and at what is here; changes nothing.</summary>
    /// <param name="from">Seekable; stays open.</param>
    /// <param name="choices">How it would be taken in.</param>
    /// <param name="progress">Runs looked at so far, and of how many.</param>
    /// <param name="cancellationToken">Ends it.</param>
    /// <returns>What it would bring, or why it cannot be read.</returns>
    public Task<Outcome<ArchiveFindings>> LookAsync(Stream from, ArchiveChoices choices, Action<int, int>? progress, CancellationToken cancellationToken) =>
        GuardedAsync(async () => (await CompareAsync(from, choices, progress, cancellationToken).ConfigureAwait(false)).Findings);

    /// <summary>Takes an archive in, whole or not at all.</summary>
    /// <param name="from">Seekable; stays open.</param>
    /// <param name="choices">How.</param>
    /// <param name="progress">As for <see cref="LookAsync"/>.</param>
    /// <param name="cancellationToken">Ends it; then nothing has changed.</param>
    /// <returns>What it brought; or what it would bring, when conflicts stopped it; or why it cannot be read.</returns>
    public Task<Outcome<ArchiveFindings>> TakeInAsync(Stream from, ArchiveChoices choices, Action<int, int>? progress, CancellationToken cancellationToken) =>
        GuardedAsync(async () =>
        {
            var (findings, work) = await CompareAsync(from, choices, progress, cancellationToken).ConfigureAwait(false);
            if (findings.Conflicts.Count > 0 && !choices.KeepHere) return findings;
            if (!findings.BringsNothing) await AddAsync(from, work, cancellationToken).ConfigureAwait(false);
            return findings with { TakenIn = true };
        });

    private static async Task<Outcome<ArchiveFindings>> GuardedAsync(Func<Task<ArchiveFindings>> work)
    {
        try
        {
            return Outcome<ArchiveFindings>.Accept(await work().ConfigureAwait(false));
        }
        catch (ArchiveException fault)
        {
            return Outcome<ArchiveFindings>.Refuse(fault.Refusal);
        }
    }

    private async Task<(ArchiveFindings Findings, ArchiveWork Work)> CompareAsync(Stream from, ArchiveChoices choices, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        using var archive = ArchiveFile.Open(from);
        var renaming = new LotRenaming(choices.LotNames);
        // Parts that nothing below reads are measured all the same.
        if (archive.Parts.ContainsKey(ArchiveText.FileName)) archive.Document(ArchiveText.FileName);
        string[] types = [.. Named(archive, "types/").Select(n => System.Text.Encoding.UTF8.GetString(archive.Document(n)))];
        var conflicts = new List<ArchiveConflict>();
        var newCalibrations = await CalibrationsAsync(archive, conflicts, cancellationToken).ConfigureAwait(false);
        var compared = await StockComparison.OfAsync(archive, renaming, stock, conflicts, cancellationToken).ConfigureAwait(false);
        List<string> newRuns = [];
        var same = 0;
        string[] ids = [.. Named(archive, "runs/").Where(n => n.EndsWith(".json", StringComparison.Ordinal)).Select(n => n["runs/".Length..^".json".Length])];
        if (Named(archive, "runs/").Count() != 2 * ids.Length) throw new ArchiveException("archive-part-missing", "a run has samples without a document, or a document without samples", "each has both", "The archive was edited; get it from where it was made.");
        foreach (var id in ids)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var run = renaming.Of(await ReadRunAsync(archive, id).ConfigureAwait(false));
            var here = await runs.FindAsync(id, cancellationToken).ConfigureAwait(false);
            if (here is not null && await IsSameAsync(archive, here, run, cancellationToken).ConfigureAwait(false)) same++;
            else if (here is not null) conflicts.Add(new("run", id, TubeComparison.Of(here), TubeComparison.Of(run)));
            else if (compared.Stranger(run.Header.Tube) is { } lot) conflicts.Add(new("run", id, $"tube {run.Header.Tube.Label} is one of lot {lot}", $"it is of another tube of that number, of lot {run.Header.Tube.Lot ?? "no name"}"));
            else newRuns.Add(id);
            progress?.Invoke(newRuns.Count + same + conflicts.Count, ids.Length);
        }
        ArchiveFindings findings = new(
            archive.Manifest, newRuns, same, [.. newCalibrations.Select(c => c.Id)], [.. compared.NewLots.Select(l => l.Name)], [.. compared.NewTubes.Select(t => t.Label)],
            [.. compared.Longer.Select(l => l.Label)], compared.Same, conflicts, types, TakenIn: false);
        return (findings, new(newRuns, newCalibrations, compared, renaming));
    }

    private async Task<List<RigCalibration>> CalibrationsAsync(ArchiveFile archive, List<ArchiveConflict> conflicts, CancellationToken cancellationToken)
    {
        List<RigCalibration> added = [];
        foreach (var name in Named(archive, "calibrations/"))
        {
            var read = CalibrationDocument.Parse(System.Text.Encoding.UTF8.GetString(archive.Document(name)));
            if (!read.IsAccepted) throw ArchiveDocuments.Damaged(name, read.Refusals[0].ToString());
            var there = read.Value;
            if (await calibrations.FindAsync(there.Id, cancellationToken).ConfigureAwait(false) is not { } here) added.Add(there);
            else if (CalibrationDocument.Write(here) != CalibrationDocument.Write(there)) conflicts.Add(new("calibration", there.Id, $"of rig {here.RigSerialNumber}", $"of rig {there.RigSerialNumber}, with other values"));
        }
        return added;
    }

    /// <summary>Also looks at every sample, so that nothing that is damaged is begun with.</summary>
    private static async Task<RunRecord> ReadRunAsync(ArchiveFile archive, string id)
    {
        var part = $"runs/{id}.json";
        var run = ArchiveDocuments.ReadRun(archive.Document(part), part);
        if (run.Header.Id != id) throw ArchiveDocuments.Damaged(part, $"it is of run {run.Header.Id}");
        if (run.State == RunState.Running) throw ArchiveDocuments.Damaged(part, "the run has not ended");
        var codes = $"runs/{id}.codes.csv";
        var samples = await archive.ReadAsync(codes, stream => Task.FromResult(CodesCsv.Read(stream, codes).Sum(b => (long)b.Count))).ConfigureAwait(false);
        return samples == run.Samples ? run : throw ArchiveDocuments.Damaged(codes, $"{samples} samples, the run says {run.Samples}");
    }

    private async Task<bool> IsSameAsync(ArchiveFile archive, RunRecord here, RunRecord there, CancellationToken cancellationToken)
    {
        if (!ArchiveDocuments.Write(here).AsSpan().SequenceEqual(ArchiveDocuments.Write(there))) return false;
        using var measured = new MeasuredStream(Stream.Null, long.MaxValue, () => new InvalidOperationException("SweepRig bug: a run has no end."));
        await CodesCsv.WriteAsync(runs.ReadBlocksAsync(here.Header.Id, 0, cancellationToken), measured, cancellationToken).ConfigureAwait(false);
        return measured.Sha256 == archive.Parts[$"runs/{here.Header.Id}.codes.csv"].Sha256;
    }

    private async Task AddAsync(Stream from, ArchiveWork work, CancellationToken cancellationToken)
    {
        using var archive = ArchiveFile.Open(from);
        await runs.OnContextAsync(
            async context =>
            {
                await using var transaction = await runs.Database.BeginTurnAsync(context, cancellationToken).ConfigureAwait(false);
                var adding = new ArchiveRows(runs.Database, context, cancellationToken);
                foreach (var calibration in work.Calibrations) adding.Add(calibration);
                await adding.StockAsync(work.Stock).ConfigureAwait(false);
                foreach (var id in work.Runs)
                {
                    var part = $"runs/{id}.json";
                    var run = work.Renaming.Of(ArchiveDocuments.ReadRun(archive.Document(part), part));
                    var codes = $"runs/{id}.codes.csv";
                    var number = await adding.RunAsync(run).ConfigureAwait(false);
                    await archive.ReadAsync(codes, async stream =>
                    {
                        var sequence = 0L;
                        foreach (var block in CodesCsv.Read(stream, codes)) await adding.BlockAsync(number, sequence++, block).ConfigureAwait(false);
                        return sequence;
                    }).ConfigureAwait(false);
                    await adding.SaveAsync().ConfigureAwait(false);
                    await RunPacker.WithinAsync(context, number, cancellationToken).ConfigureAwait(false);
                }
                await adding.SaveAsync().ConfigureAwait(false);
                await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
                return true;
            },
            cancellationToken).ConfigureAwait(false);
    }

    private static IEnumerable<string> Named(ArchiveFile archive, string folder) => archive.Parts.Keys.Where(n => n.StartsWith(folder, StringComparison.Ordinal)).Order(StringComparer.Ordinal);
}

/// <summary>What is to be added.</summary>
internal sealed record ArchiveWork(IReadOnlyList<string> Runs, IReadOnlyList<RigCalibration> Calibrations, StockComparison Stock, LotRenaming Renaming);
