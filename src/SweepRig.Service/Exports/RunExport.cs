using SweepRig.Domain;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Exports;

/// <summary>Writes runs, one after the other, into a table of samples, one of levels, or both.</summary>
public static class RunExport
{
    /// <param name="ids">Of the runs, in the order they are to stand.</param>
    /// <param name="calibration">As for any run; null for as measured.</param>
    /// <param name="samples">File; null for none.</param>
    /// <param name="levels">File; null for none.</param>
    /// <param name="progress">Runs written so far, and of how many.</param>
    /// <param name="cancellationToken">Ends it.</param>
    /// <param name="form">Of files whose ending says nothing; CSV where this says nothing either.</param>
    /// <returns>How many runs; or why not, and then no file is there that was not there before.</returns>
    /// <exception cref="IOException">A file cannot be written.</exception>
    public static async Task<Outcome<ExportedRuns>> ToFilesAsync(
        RunStore runs, CalibrationStore calibrations, IReadOnlyList<string> ids, string? calibration, string? samples, string? levels, Action<int, int>? progress, CancellationToken cancellationToken,
        TableForm? form = null)
    {
        var count = 0;
        try
        {
            await OnAsync(samples, form, RunTables.SamplesAsync, first => OnAsync(levels, form, RunTables.LevelsAsync, async second =>
            {
                foreach (var id in ids)
                {
                    if (await runs.FindAsync(id, cancellationToken) is not { } record) continue;
                    var read = await RecordedRun.ReadAsync(runs, calibrations, record, calibration, cancellationToken);
                    if (!read.IsAccepted) throw new RefusedException(read.Refusals);
                    if (first is not null) await first.AddAsync(read.Value, cancellationToken);
                    if (second is not null) await second.AddAsync(read.Value, cancellationToken);
                    progress?.Invoke(++count, ids.Count);
                }
                if (first is not null) await first.EndAsync(cancellationToken);
                if (second is not null) await second.EndAsync(cancellationToken);
            }, cancellationToken), cancellationToken);
        }
        catch (RefusedException refused)
        {
            return Outcome<ExportedRuns>.Refuse(refused.Refusals);
        }
        return Outcome<ExportedRuns>.Accept(new(count, [.. ((string?[])[samples, levels]).OfType<string>()]));
    }

    private static async Task OnAsync(
        string? file, TableForm? form, Func<Stream, TableForm, CancellationToken, Task<IRunTable>> begin, Func<IRunTable?, Task> work, CancellationToken cancellationToken)
    {
        if (file is null)
        {
            await work(null);
            return;
        }
        await RecordedRun.WriteFileAsync(file, async (Stream stream) =>
        {
            await using var table = await begin(stream, RunTables.FormOf(file, form ?? TableForm.Csv), cancellationToken);
            await work(table);
        });
    }

    private sealed class RefusedException(IReadOnlyList<Refusal> refusals) : Exception
    {
        public IReadOnlyList<Refusal> Refusals => refusals;
    }
}

/// <param name="Runs">How many were written.</param>
/// <param name="Files">As they were named.</param>
public sealed record ExportedRuns(int Runs, string[] Files);
