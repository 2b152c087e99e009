using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Takes a tube from the stock to the bench, and what was found back.</summary>
public static class StockedTubes
{
    /// <summary>The tube that a command names, with remarks on standard error.</summary>
    public static async Task<Outcome<StockedTube>> ReadAsync(CliContext context, string? data, string typed, string? type, string? lot, CancellationToken cancellation)
    {
        await using var runs = await RunsCommand.OpenAsync(context, data, cancellation);
        // What is wrong with a type of the user's own is told by the bench, which does not begin with it.
        var types = Service.Types.UserTypes.Read(DataPlace.Of(data, context.Variable)).Catalogue;
        var found = await StockedTube.OfAsync(runs is null ? null : StockCommand.Of(context, runs), types, typed, type, lot, cancellation);
        if (found.IsAccepted)
            foreach (var remark in found.Value.Remarks) context.Terminal.Error.WriteLine(remark);
        return found;
    }

    /// <summary>Keeps the verdict of a screening in the history of its tube. A sweep changes no state: its run is the record of it.</summary>
    public static async Task KeepScreeningAsync(CliContext context, RunStore runs, Tube tube, HealthView report, CancellationToken cancellation)
    {
        var number = TubeNumber.Split(tube.Label);
        var says = string.Join("; ", report.Reasons.Prepend(number.Section is { } n ? FormattableString.Invariant($"section {n} {report.Verdict}") : report.Verdict));
        var kept = await StockCommand.Of(context, runs).ChangeAsync(number.Label, TubeChangeKind.Screened, says.Length <= TubeChange.LongestText ? says : says[..(TubeChange.LongestText - 1)] + "…", cancellation);
        context.Terminal.Error.WriteLine(kept.IsAccepted ? $"kept in the history of {number.Label}: screened, {report.Verdict}" : $"not kept in the history of {number.Label}: {kept.Refusals[0]}");
    }
}
