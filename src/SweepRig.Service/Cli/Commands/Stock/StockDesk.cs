using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>The stock, its runs, and what works figures out of them, for one command.</summary>
public sealed class StockDesk : IAsyncDisposable
{
    private readonly CliContext _context;
    private readonly Workbench _workbench = new();

    private StockDesk(CliContext context, RunStore runs)
    {
        _context = context;
        (Runs, Stock, Shelf) = (runs, StockCommand.Of(context, runs), new(_workbench));
    }

    public RunStore Runs { get; }

    public StockStore Stock { get; }

    public FigureShelf Shelf { get; }

    /// <returns>Null, and a line that says what to do, where there is no stock.</returns>
    public static async Task<StockDesk?> OpenAsync(CliContext context, string? data, bool json, CancellationToken cancellation)
    {
        if (await RunsCommand.OpenAsync(context, data, cancellation) is { } runs) return new(context, runs);
        context.Tell([new Refusal("no-stock", "/data", $"no tubes in {context.StoreName(data)}", "a stock is needed", "Book some in: sweeprig stock book LOT --count N.")], json, ExitCode.BadInput);
        return null;
    }

    /// <summary>The lot with its figures; while that takes a while, a terminal shows how far it is.</summary>
    public async Task<Outcome<LotReading>> ReadAsync(string lot, FigureSources sources, CancellationToken cancellation)
    {
        using var progress = Progress(sources.HasFlag(FigureSources.Fit) ? "Tubes fitted" : "Tubes read");
        return await LotReading.ReadAsync(Stock, Runs, Shelf, lot, sources, progress.Show, cancellation);
    }

    /// <summary>Tubes that could replace one, see <see cref="TubeSpares"/>.</summary>
    public async Task<Outcome<SparesView>> SparesAsync(StockTube replaced, IReadOnlyList<string>? keep, string? lot, CancellationToken cancellation)
    {
        using var progress = Progress("Tubes looked at");
        return await TubeSpares.FindAsync(Stock, Runs, Shelf, replaced, keep, lot, progress.Show, cancellation);
    }

    private ProgressLine Progress(string what) => new(_context.Terminal, _context.Time, what);

    /// <summary>The tube of a number; null, and a line that says so, where the stock has none.</summary>
    public async Task<StockTube?> FindAsync(string label, bool json, CancellationToken cancellation)
    {
        var asked = StockCommand.Label(label);
        var tube = await Stock.FindAsync(asked, cancellation);
        if (tube is null) _context.Tell([StockStore.Unknown(asked)], json, ExitCode.BadInput);
        return tube;
    }

    public async ValueTask DisposeAsync()
    {
        _workbench.Dispose();
        await Runs.DisposeAsync();
    }
}
