using SweepRig.Domain;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Exports;

/// <summary>Writes runs, one after the other, into tables.</summary>
public static class RunExport
{
    /// <param name="ids">Of the runs, in the order they are to stand; one that is gone is passed over.</param>
    /// <param name="calibration">As for any run; null for as measured.</param>
    /// <param name="tables">Each gets every run; they are not whole unless all went well.</param>
    /// <param name="progress">Runs written so far, and of how many.</param>
    /// <returns>The reason why not; null when all are written.</returns>
    public static async Task<IReadOnlyList<Refusal>?> ToTablesAsync(
        RunStore runs, CalibrationStore calibrations, IReadOnlyList<string> ids, string? calibration, IReadOnlyList<IRunTable> tables, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        for (var i = 0; i < ids.Count; i++)
        {
            if (await runs.FindAsync(ids[i], cancellationToken) is not { } record) continue;
            var read = await RecordedRun.ReadAsync(runs, calibrations, record, calibration, cancellationToken);
            if (!read.IsAccepted) return read.Refusals;
            foreach (var table in tables) await table.AddAsync(read.Value, cancellationToken);
            progress?.Invoke(i + 1, ids.Count);
        }
        foreach (var table in tables) await table.EndAsync(cancellationToken);
        return null;
    }

    /// <summary>Into a file of samples, one of levels, or both.</summary>
    /// <param name="samples">File; null for none.</param>
    /// <param name="levels">File; null for none.</param>
    /// <param name="form">Of files whose ending says nothing.</param>
    /// <returns>The names of the files; or why not, and then no file is there that was not there before.</returns>
    /// <inheritdoc cref="ToTablesAsync" path="/param"/>
    /// <exception cref="IOException">A file cannot be written.</exception>
    public static async Task<Outcome<IReadOnlyList<string>>> ToFilesAsync(
        RunStore runs, CalibrationStore calibrations, IReadOnlyList<string> ids, string? calibration, string? samples, string? levels, TableForm form, Action<int, int>? progress,
        CancellationToken cancellationToken)
    {
        try
        {
            await OnAsync(samples, form, RunTables.SamplesAsync, [], first => OnAsync(levels, form, RunTables.LevelsAsync, first, async tables =>
            {
                if (await ToTablesAsync(runs, calibrations, ids, calibration, tables, progress, cancellationToken) is { } refusals) throw new RefusedException(refusals);
            }, cancellationToken), cancellationToken);
        }
        catch (RefusedException refused)
        {
            return Outcome<IReadOnlyList<string>>.Refuse(refused.Refusals);
        }
        return Outcome<IReadOnlyList<string>>.Accept([.. ((string?[])[samples, levels]).OfType<string>()]);
    }

    private static async Task OnAsync(
        string? file, TableForm form, Func<Stream, TableForm, CancellationToken, Task<IRunTable>> begin, IReadOnlyList<IRunTable> before, Func<IReadOnlyList<IRunTable>, Task> work,
        CancellationToken cancellationToken)
    {
        if (file is null)
        {
            await work(before);
            return;
        }
        await RecordedRun.WriteFileAsync(file, async (Stream stream) =>
        {
            await using var table = await begin(stream, RunTables.FormOf(file, form), cancellationToken);
            await work([.. before, table]);
        });
    }

    // Takes the half-written files with it.
    private sealed class RefusedException(IReadOnlyList<Refusal> refusals) : Exception
    {
        public IReadOnlyList<Refusal> Refusals => refusals;
    }
}
