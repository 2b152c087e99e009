using SweepRig.Service.Fits;

namespace SweepRig.Service.Cli.Records;

/// <summary>Reads the runs that a command is to fit together.</summary>
public static class FittedRuns
{
    /// <returns>Null, and lines that say why, when they cannot be fitted together.</returns>
    public static async Task<ChosenRuns?> ReadAsync(CliContext context, string? data, string[] asked, string? calibration, bool json, CancellationToken cancellation)
    {
        await using var onRecord = await OnRecord.OpenAsync(context, data, json, cancellation);
        if (onRecord is null || await onRecord.FindAsync(asked, cancellation) is not { } records) return null;
        return onRecord.Take(await ChosenRuns.ReadAsync(onRecord.Store, onRecord.Calibrations, records[0], records.Skip(1).Select(r => r.Header.Id), calibration, cancellation));
    }
}
