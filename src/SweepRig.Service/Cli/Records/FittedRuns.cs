using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Cli.Records;

/// <summary>Reads the runs that a command is to fit together.</summary>
public static class FittedRuns
{
    /// <returns>Null, and lines that say why, when they cannot be fitted together.</returns>
    public static async Task<ChosenRuns?> ReadAsync(CliContext context, string? data, string[] asked, string? calibration, bool json, CancellationToken cancellation)
    {
        await using var store = await RunsCommand.OpenAsync(context, data, cancellation);
        if (store is null)
        {
            context.Terminal.Complain(RunsCommand.NothingIn(context, data));
            return null;
        }
        var records = new List<RunRecord>();
        var faults = new List<Refusal>();
        foreach (var one in asked)
        {
            var found = await RunFinder.FindAsync(store, one, cancellation);
            if (found.IsAccepted) records.Add(found.Value);
            else faults.AddRange(found.Refusals);
        }
        if (faults.Count == 0)
        {
            var read = await ChosenRuns.ReadAsync(store, new(store, context.Time), records[0], records.Skip(1).Select(r => r.Header.Id), calibration, cancellation);
            if (read.IsAccepted) return read.Value;
            faults.AddRange(read.Refusals);
        }
        context.Tell(faults, json, ExitCode.BadInput);
        return null;
    }
}
