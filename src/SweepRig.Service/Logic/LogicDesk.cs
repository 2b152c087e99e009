using SweepRig.Domain;
using SweepRig.Logic.Choice;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Storage;

namespace SweepRig.Service.Logic;

/// <summary>
/// Answers questions about circuits of measured tubes, for REST and command line alike: reads the question, finds the tubes, and works on the workbench. Each answer hangs on its
/// asker's token. Nothing is stored. Safe from any thread.
/// </summary>
/// <param name="runs">Null where nothing was ever recorded.</param>
public sealed class LogicDesk(LogicTubes tubes, Workbench workbench, FittedTubes fitted, RunStore? runs)
{
    private const int MostPairs = 200;

    public BuildDesk Builds { get; } = new(tubes, workbench, fitted, runs);

    public ChoiceDesk Choices { get; } = new(tubes, workbench);

    public FillDesk Fills { get; } = new(tubes);

    public SpareDesk Spares { get; } = new(tubes, workbench);

    public TimeDesk Times { get; } = new(tubes, workbench);

    public async Task<Outcome<StageView>> StageAsync(StageRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        var (settings, chosen, faults) = await StageAsync(request, 1, [], progress, cancellation);
        return settings is null || chosen is null ? Outcome<StageView>.Refuse(faults) : await workbench.RunAsync(() => StageViewMaker.Of(settings, chosen, request.FanOut, cancellation), cancellation);
    }

    public async Task<Outcome<SearchView>> SearchAsync(SearchRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        var search = StageSearch.Read(request);
        if (search.Value is not { } asked) return Outcome<SearchView>.Refuse(search.Refusals);
        var chosen = await tubes.ChooseAsync(request.Tubes, request.Lot, asked.Settings.Rails, 1, progress, cancellation);
        return chosen.IsAccepted ? await workbench.RunAsync(() => asked.Run(chosen.Value, progress, cancellation), cancellation) : Outcome<SearchView>.Refuse(chosen.Refusals);
    }

    public async Task<Outcome<BistablePairsView>> PairsAsync(PairRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var own = new List<Refusal>();
        StageSettings.Within(own, "/most", "pairs", request.Most, 1, MostPairs, "", "Ask for the best few.");
        var (settings, chosen, faults) = await StageAsync(request, 2, own, progress, cancellation);
        if (settings is null || chosen is null) return Outcome<BistablePairsView>.Refuse(faults);
        progress?.Invoke(new("Pairing tubes", 0, 1));
        var pairs = await workbench.RunAsync(() => BistablePairs.Of(settings.Rails, settings.Values, chosen.Parts, request.FanOut, settings.Shape, cancellation), cancellation);
        var marked = chosen.Tubes.Select(t => (Tube: t.Part.Number!, Why: t.Marked(settings.Values.IsTriode, double.PositiveInfinity, 0))).Where(m => m.Why is not null).Select(m => (m.Tube, m.Why!));
        return Outcome<BistablePairsView>.Accept(new(
            [.. pairs.Where(p => p.MarginVolts > 0).Take(request.Most).Select(p => new BistablePairView(chosen.Tubes[p.First].Part.Number!, chosen.Tubes[p.Second].Part.Number!, p.MarginVolts, p.Low, p.High))],
            pairs.Count, pairs.Count(p => p.MarginVolts > 0), [.. chosen.NotSwept], [.. LogicRemarks.Of(chosen, marked)]));
    }

    public Task<Outcome<CheckView>> CheckAsync(GateRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation) =>
        GateAsync(request, [], (gate, chosen) => CheckViewMaker.Of(gate, chosen, cancellation), progress, cancellation);

    public Task<Outcome<YieldView>> YieldAsync(YieldRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation) =>
        GateAsync(request, YieldViewMaker.Faults(request), (gate, chosen) => YieldViewMaker.Of(gate, chosen, request, cancellation), progress, cancellation);

    /// <returns>A deck that ngspice runs as it is.</returns>
    public Task<Outcome<string>> NetlistAsync(NetlistRequest request, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        return GateAsync(request, [], (gate, chosen) => CheckViewMaker.Netlist(gate, chosen, request.Row, cancellation), null, cancellation);
    }

    /// <summary>Every balance of a network that is given as a document.</summary>
    public async Task<Outcome<NetworkStatesView>> SolveAsync(string document, CancellationToken cancellation)
    {
        var network = NetworkDocument.Parse(document, await StockShelf.LoadAsync(runs, fitted, document, cancellation));
        if (!network.IsAccepted) return Outcome<NetworkStatesView>.Refuse([.. network.Refusals.Select(r => r.Path.Length == 0 ? r with { Path = "/" } : r)]);
        return Outcome<NetworkStatesView>.Accept(await workbench.RunAsync(() =>
        {
            var values = new CircuitValues(Circuit.Of(network.Value));
            return NetworkViewMaker.Of(network.Value, values, StateFinder.Find(values, cancel: cancellation));
        }, cancellation));
    }

    private async Task<(StageSettings? Settings, ChosenTubes? Chosen, IReadOnlyList<Refusal> Faults)> StageAsync(
        StageRequest request, int fewest, List<Refusal> faults, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var settings = StageSettings.Read(request.Rails, request.Values, request.Gate);
        faults.AddRange(settings.Refusals);
        // A pair feeds each other at least.
        StageSettings.FanOut(faults, request.FanOut, fewest - 1);
        if (settings.Value is not { } read || faults.Count > 0) return (null, null, faults);
        var chosen = await tubes.ChooseAsync(request.Tubes, request.Lot, read.Rails, fewest, progress, cancellation);
        return (read, chosen.Value, chosen.Refusals);
    }

    private async Task<Outcome<T>> GateAsync<T>(GateRequest request, IReadOnlyList<Refusal> faults, Func<AskedGate, ChosenTubes, Outcome<T>> work, Action<LogicWorkView>? progress, CancellationToken cancellation)
        where T : class
    {
        var (gate, chosen, refusals) = await tubes.PlaceAsync(request, faults, progress, cancellation);
        if (gate is null || chosen is null) return Outcome<T>.Refuse(refusals);
        progress?.Invoke(new("Solving the circuit", 0, 1));
        return await workbench.RunAsync(() => work(gate, chosen), cancellation);
    }
}
