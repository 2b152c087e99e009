using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Logic.Gates;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Logic;

/// <summary>A tube that cannot be reckoned with.</summary>
/// <param name="Why">With the sweep that would help.</param>
public sealed record TubeWithoutModel(string Number, Refusal Why);

/// <summary>Tubes that are plugged in nowhere.</summary>
/// <param name="Numbers">With constants.</param>
/// <param name="LeftOut">Without.</param>
public sealed record FreeTubes(IReadOnlyList<string> Numbers, IReadOnlyList<TubeWithoutModel> LeftOut);

/// <summary>Finds the tubes that a circuit is asked about, in the stock and in their sweeps.</summary>
/// <param name="runs">Null where nothing was ever recorded.</param>
/// <param name="stock">Null where there is none.</param>
public sealed class LogicTubes(RunStore? runs, StockStore? stock, FittedTubes fitted)
{
    /// <summary>Most tubes of one question: a crate, and what two cores fit within minutes.</summary>
    public const int MostTubes = 500;

    private const string HowToSweep = "Sweep them: sweeprig round --lot LOT, or one by one with sweeprig sweep gentle-pentode --tube NUMBER.";

    /// <summary>The tubes of a list or of a lot; one example tube where neither is named.</summary>
    /// <param name="numbers">In the stock.</param>
    /// <param name="lot">Its tubes without a whole sweep, and those that are retired, are left out.</param>
    /// <param name="fewest">Tubes that are needed.</param>
    /// <param name="progress">Told before each tube that is fitted; null for nobody.</param>
    public async Task<Outcome<ChosenTubes>> ChooseAsync(
        IReadOnlyList<string>? numbers, string? lot, GateRails rails, int fewest, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        if (numbers is { Count: > 0 } && !string.IsNullOrWhiteSpace(lot))
            return Refuse(new("both-asked", "/lot", $"{numbers.Count} tubes and the lot {lot}", "one of the two is allowed", "Leave out the lot, or the numbers."));
        if (numbers is { Count: > MostTubes }) return Refuse(new("too-many-tubes", "/tubes", $"{numbers.Count} tubes", $"at most {MostTubes} are looked at together", "Name fewer."));
        if (!string.IsNullOrWhiteSpace(lot)) return await OfLotAsync(lot, fewest, progress, cancellation);
        if (numbers is not { Count: > 0 })
            return fewest <= 1 ? Outcome<ChosenTubes>.Accept(new([ChosenTube.Example(rails)], [])) : Refuse(new("too-few-tubes", "/tubes", "no tubes", $"{fewest} or more are needed", "Name tubes, or a lot."));
        var faults = ChosenTubes.Twice(numbers, [.. numbers.Select((_, n) => $"place {n + 1} of the list")]).ToList();
        var found = await FindAsync([.. numbers.Select(ChosenTubes.Number)], progress, faults, cancellation);
        if (faults.Count == 0 && found.Count < fewest) faults.Add(new("too-few-tubes", "/tubes", $"{found.Count} tubes", $"{fewest} or more are needed", "Name more, or a lot."));
        return faults.Count > 0 ? Outcome<ChosenTubes>.Refuse(faults) : Outcome<ChosenTubes>.Accept(new([.. found.OfType<ChosenTube>()], []));
    }

    /// <summary>The gate of a request with a tube for each of its places; an example tube where none is named.</summary>
    /// <param name="faults">What else is wrong with the request.</param>
    /// <returns>No tubes where anything is.</returns>
    public async Task<(AskedGate? Gate, ChosenTubes? Chosen, IReadOnlyList<Refusal> Faults)> PlaceAsync(
        GateRequest request, IReadOnlyList<Refusal> faults, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var gate = AskedGate.Read(request);
        if (gate.Value is not { } asked || faults.Count > 0) return (null, null, [.. gate.Refusals, .. faults]);
        var chosen = await PlaceAsync(asked.Network, request.Tubes, progress, cancellation);
        return (asked, chosen.Value, chosen.Refusals);
    }

    private async Task<Outcome<ChosenTubes>> PlaceAsync(GateNetwork network, IReadOnlyList<string?>? numbers, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        var (places, named) = (network.Positions, numbers ?? []);
        if (named.Count > places.Count)
            return Refuse(new("tubes-left-over", "/tubes", $"{named.Count} tubes", $"{network.Name} has {places.Count} {(places.Count == 1 ? "place" : "places")}", $"Name at most {places.Count}."));
        var faults = ChosenTubes.Twice(named, places).ToList();
        var found = await FindAsync([.. named.Select(ChosenTubes.Number)], progress, faults, cancellation);
        if (faults.Count > 0) return Outcome<ChosenTubes>.Refuse(faults);
        return Outcome<ChosenTubes>.Accept(new([.. places.Select((_, n) => (n < found.Count ? found[n] : null) ?? ChosenTube.Example(network.Rails))], []));
    }

    /// <summary>Every tube that is not retired, with the connections that it was swept in.</summary>
    public async Task<LogicTubesView> ListAsync(CancellationToken cancellation)
    {
        if (runs is null || stock is null) return new([], 0, 0);
        var tubes = new List<LogicTubeView>();
        foreach (var tube in (await stock.TubesAsync(null, cancellation)).Where(t => t.State != TubeState.Retired))
        {
            var newest = await FittedTubes.NewestAsync(runs, tube.Label, cancellation);
            tubes.Add(new(tube.Label, tube.Lot, tube.TypeName, [.. newest.Select(r => BenchViews.Word(r.Header.Plan.Connection.Kind))], tube.InUseAt));
        }
        return new([.. tubes], tubes.Count, tubes.Count(t => t.Connections.Length > 0));
    }

    /// <summary>Every tube of a lot, or of the whole stock, that is plugged in nowhere.</summary>
    /// <param name="lot">Null or blank for the whole stock.</param>
    /// <param name="without">Numbers that are not wanted.</param>
    /// <returns>Refused when none is left that a sweep gives a model of.</returns>
    public async Task<Outcome<ChosenTubes>> FreeAsync(string? lot, IReadOnlyCollection<string> without, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        if (runs is null || stock is null) return Refuse(NoStock("/lot", "spares of the stock"));
        string? name = null;
        if (!string.IsNullOrWhiteSpace(lot))
        {
            var found = await LotReading.FindAsync(stock, lot, cancellation);
            if (!found.IsAccepted) return Outcome<ChosenTubes>.Refuse(found.Refusals);
            name = found.Value.Name;
        }
        var free = await PluggedNowhereAsync(stock, name, without, cancellation);
        var fitting = await FitAsync(runs, free, progress, cancellation);
        if (fitting.Tubes.Count > 0) return Outcome<ChosenTubes>.Accept(fitting);
        return Refuse(new("no-free-tubes", "/lot", $"{free.Count} {(free.Count == 1 ? "tube" : "tubes")} of {name ?? "the stock"} that {(free.Count == 1 ? "is" : "are")} plugged in nowhere", "one at least must have a whole sweep that gives a model",
            HowToSweep.Replace("LOT", name ?? "LOT", StringComparison.Ordinal)));
    }

    /// <summary>So many tubes of the stock that are plugged in nowhere and have constants, and those that were passed over on the way for want of them.</summary>
    /// <param name="first">Numbers that are tried before all others, in order.</param>
    /// <param name="without">Numbers that are not wanted.</param>
    /// <param name="count">Fewer are found where there are no more.</param>
    public async Task<Outcome<FreeTubes>> NextFreeAsync(IReadOnlyList<string> first, IReadOnlyCollection<string> without, int count, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        if (runs is null || stock is null) return Outcome<FreeTubes>.Refuse(NoStock("/tubes", "free tubes of the stock"));
        var order = first.Distinct(StringComparer.Ordinal).Select((number, at) => (number, at)).ToDictionary(f => f.number, f => f.at, StringComparer.Ordinal);
        var free = (await PluggedNowhereAsync(stock, null, without, cancellation)).Select(t => t.Label)
            .OrderBy(n => order.GetValueOrDefault(n, int.MaxValue)).ThenBy(n => n, StringComparer.Ordinal);
        var (found, leftOut) = (new List<string>(), new List<TubeWithoutModel>());
        foreach (var number in free)
        {
            if (found.Count == count) break;
            progress?.Invoke(new("Fitting tubes", found.Count, count));
            var tube = await fitted.FindAsync(runs, number, cancellation);
            if (tube.IsAccepted) found.Add(number);
            else leftOut.Add(new(number, tube.Refusals[0]));
        }
        return Outcome<FreeTubes>.Accept(new(found, leftOut));
    }

    private static async Task<List<StockTube>> PluggedNowhereAsync(StockStore stock, string? lot, IReadOnlyCollection<string> without, CancellationToken cancellation) =>
        [.. (await stock.TubesAsync(lot, cancellation)).Where(t => t.State != TubeState.Retired && t.InUseAt is null && !without.Contains(t.Label))];

    private async Task<Outcome<ChosenTubes>> OfLotAsync(string asked, int fewest, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        if (runs is null || stock is null) return Refuse(NoStock("/lot", $"lot {asked}"));
        var lot = await LotReading.FindAsync(stock, asked, cancellation);
        if (!lot.IsAccepted) return Outcome<ChosenTubes>.Refuse(lot.Refusals);
        var tubes = (await stock.TubesAsync(lot.Value.Name, cancellation)).Where(t => t.State != TubeState.Retired).ToList();
        var chosen = await FitAsync(runs, tubes, progress, cancellation);
        if (chosen.Tubes.Count >= Math.Max(1, fewest)) return Outcome<ChosenTubes>.Accept(chosen);
        return Refuse(new("lot-not-swept", "/lot", $"{chosen.Tubes.Count} of the {tubes.Count} tubes of {lot.Value.Name} {(chosen.Tubes.Count == 1 ? "has" : "have")} a whole sweep that gives a model",
            $"{Math.Max(1, fewest)} or more are needed", HowToSweep.Replace("LOT", lot.Value.Name, StringComparison.Ordinal)));
    }

    // What gives no model is left out: whoever asks for all that there is did not name it.
    private async Task<ChosenTubes> FitAsync(RunStore store, List<StockTube> tubes, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        var (chosen, without) = (new List<ChosenTube>(), new List<string>());
        foreach (var tube in tubes.Take(MostTubes))
        {
            progress?.Invoke(new("Fitting tubes", chosen.Count + without.Count, tubes.Count));
            if ((await fitted.FindAsync(store, tube.Label, cancellation)).Value is { } found) chosen.Add(ChosenTube.Of(found));
            else without.Add(tube.Label);
        }
        return new(chosen, [.. without, .. tubes.Skip(MostTubes).Select(t => t.Label)]);
    }

    private async Task<List<ChosenTube?>> FindAsync(IReadOnlyList<string?> numbers, Action<LogicWorkView>? progress, List<Refusal> faults, CancellationToken cancellation)
    {
        var found = new List<ChosenTube?>();
        for (var n = 0; n < numbers.Count; n++)
        {
            progress?.Invoke(new("Fitting tubes", n, numbers.Count));
            if (numbers[n] is not { } number)
            {
                found.Add(null);
                continue;
            }
            var tube = await fitted.FindAsync(runs, number, cancellation);
            found.Add(tube.Value is { } good ? ChosenTube.Of(good) : null);
            faults.AddRange(tube.Refusals.Select(r => r with { Path = $"/tubes/{n}" }));
        }
        return found;
    }

    private static Refusal NoStock(string path, string asked) => new("no-stock", path, asked, "there is no stock yet", "Book tubes in: sweeprig stock book LOT --count N.");

    private static Outcome<ChosenTubes> Refuse(Refusal refusal) => Outcome<ChosenTubes>.Refuse(refusal);
}
