using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>The tubes of a lot that can be used, with what their newest sweeps say.</summary>
public sealed record LotReading(IReadOnlyList<StockTube> Tubes, IReadOnlyList<TubeFigures> Figures)
{
    /// <returns>Null, and a line that says why, when there is no such lot.</returns>
    public static async Task<LotReading?> OfAsync(CliContext context, RunStore? runs, string lot, string? data, bool json, CancellationToken cancellation)
    {
        if (runs is null)
        {
            context.Terminal.Complain(StockCommand.NothingIn(context, data));
            return null;
        }
        var all = await StockCommand.Of(context, runs).TubesAsync(lot, cancellation);
        if (all.Count == 0)
        {
            context.Tell([new Refusal("lot-unknown", "/lot", $"lot {lot}", "the stock has none of that name", "See sweeprig stock list --lots.")], json, ExitCode.BadInput);
            return null;
        }
        StockTube[] tubes = [.. all.Where(t => t.State is not TubeState.Retired)];
        var figures = new List<TubeFigures>();
        foreach (var tube in tubes) figures.Add(await TubeFigures.ReadAsync(runs, tube.Label, cancellation));
        return new(tubes, figures);
    }
}
