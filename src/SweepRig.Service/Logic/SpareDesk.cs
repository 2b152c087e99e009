using SweepRig.Domain;
using SweepRig.Logic.Choice;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Logic;

/// <summary>Answers which free tubes of the stock could stand in for those that a gate has. Nothing is stored. Safe from any thread.</summary>
public sealed class SpareDesk(LogicTubes tubes, Workbench workbench)
{
    public async Task<Outcome<GateSparesView>> FindAsync(SparesRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var own = new List<Refusal>();
        StageSettings.Within(own, "/spares", "spares", request.Spares, 1, ChoiceDesk.MostSpares, "", "Ask for the best few.");
        string[] from = [.. (request.From ?? []).Select(ChosenTubes.Number).OfType<string>()];
        if (from.Length > 0 && !string.IsNullOrWhiteSpace(request.Lot)) own.Add(new("both-asked", "/lot", $"{from.Length} tubes and the lot {request.Lot}", "one of the two is allowed", "Leave out the lot, or the numbers."));
        var (gate, placed, faults) = await tubes.PlaceAsync(request, own, progress, cancellation);
        if (gate is null || placed is null) return Outcome<GateSparesView>.Refuse(faults);
        string[] used = [.. placed.Parts.Select(p => p.Number).OfType<string>()];
        var found = from.Length > 0
            ? (await tubes.ChooseAsync(from, null, gate.Network.Rails, 1, progress, cancellation)).Map(f => f with { Tubes = [.. f.Tubes.Where(t => !used.Contains(t.Part.Number))] })
            : await tubes.FreeAsync(request.Lot, used, progress, cancellation);
        if (found.Value is not { } free) return Outcome<GateSparesView>.Refuse([.. found.Refusals.Select(r => r with { Path = r.Path.Replace("/tubes", "/from", StringComparison.Ordinal) })]);
        progress?.Invoke(new("Trying spares", 0, 1));
        var run = await workbench.RunAsync(() => PlacedSpares.Find(gate.Network, gate.Placed(placed), free.Parts, request.Spares, cancellation), cancellation);
        if (run.Value is not { } result) return Outcome<GateSparesView>.Refuse([.. run.Refusals.Select(r => r with { Path = "/values" })]);
        string[] named = [.. result.Spares.Values.SelectMany(s => s).Select(s => s.Number).Distinct()];
        var marked = free.Tubes.Where(t => named.Contains(t.Part.Number)).Select(t => (Tube: t.Part.Number!, Why: t.Marked(gate.Network.Gates[0].Values.IsTriode, double.PositiveInfinity, 0))).Where(m => m.Why is not null);
        return Outcome<GateSparesView>.Accept(new(
            gate.Network.Name, result.MarginVolts, [.. result.Spares.Select(s => new PlaceSparesView(s.Key, [.. s.Value.Select(t => new SpareTubeView(t.Number, t.MarginVolts))]))],
            free.Tubes.Count, [.. free.NotSwept], [.. LogicRemarks.Of(free, marked.Select(m => (m.Tube, m.Why!)))]));
    }
}
