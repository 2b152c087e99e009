using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Records;

/// <summary>The store of a data directory while a command reads in it. What is not there is told to people, and to a program with <c>--json</c>.</summary>
public sealed class OnRecord : IAsyncDisposable
{
    private readonly CliContext _context;
    private readonly bool _json;

    private OnRecord(CliContext context, RunStore store, bool json)
    {
        (_context, Store, _json) = (context, store, json);
        Calibrations = new(store, context.Time);
    }

    public RunStore Store { get; }

    public CalibrationStore Calibrations { get; }

    /// <returns>Null, and a line that teaches the first step, where nothing was ever recorded.</returns>
    public static async Task<OnRecord?> OpenAsync(CliContext context, string? data, bool json, CancellationToken cancellation)
    {
        if (await RunsCommand.OpenAsync(context, data, cancellation) is { } store) return new(context, store, json);
        context.Terminal.Complain(RunsCommand.NothingIn(context, data));
        if (json) CliJson.WriteRefusals(context.Terminal, [new Refusal("no-runs", "", $"runs in {context.StoreName(data)}", "there are none yet", RunsCommand.FirstStep)]);
        return null;
    }

    /// <param name="asked">Ids, their first digits, or "latest".</param>
    /// <returns>Null, and a line for each that is not there.</returns>
    public async Task<IReadOnlyList<RunRecord>?> FindAsync(IReadOnlyList<string> asked, CancellationToken cancellation)
    {
        var records = new List<RunRecord>();
        var faults = new List<Refusal>();
        foreach (var one in asked)
        {
            var found = await RunFinder.FindAsync(Store, one, cancellation);
            if (found.IsAccepted) records.Add(found.Value);
            else faults.AddRange(found.Refusals);
        }
        return faults.Count == 0 ? records : Tell<IReadOnlyList<RunRecord>>(faults);
    }

    /// <summary>The runs with their curves, a run named twice once.</summary>
    public async Task<IReadOnlyList<RecordedRun>?> ReadAsync(IReadOnlyList<string> asked, string? calibration, CancellationToken cancellation)
    {
        if (await FindAsync(asked, cancellation) is not { } records) return null;
        var runs = new List<RecordedRun>();
        foreach (var record in records.DistinctBy(r => r.Header.Id))
        {
            if (Take(await RecordedRun.ReadAsync(Store, Calibrations, record, calibration, cancellation)) is not { } run) return null;
            runs.Add(run);
        }
        return runs;
    }

    /// <returns>What was made; null, and a line a reason, where it was refused.</returns>
    public T? Take<T>(Outcome<T> outcome)
        where T : class => outcome.IsAccepted ? outcome.Value : Tell<T>(outcome.Refusals);

    public ValueTask DisposeAsync() => Store.DisposeAsync();

    private T? Tell<T>(IReadOnlyList<Refusal> refusals)
        where T : class
    {
        _context.Tell(refusals, _json, ExitCode.BadInput);
        return null;
    }
}
