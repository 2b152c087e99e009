using SweepRig.Domain;
using SweepRig.Logic.Choice;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Logic;

/// <summary>Answers which tubes of the stock go where in a gate. Nothing is stored. Safe from any thread.</summary>
public sealed class ChoiceDesk(LogicTubes tubes, Workbench workbench)
{
    public const int MostSpares = 20;

    private const string Choosing = "Choosing tubes, in percent";

    public async Task<Outcome<ChoiceView>> ChooseAsync(ChooseRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var gate = AskedGate.Read(request);
        List<Refusal> faults = [.. gate.Refusals];
        StageSettings.Within(faults, "/spares", "spares", request.Spares, 0, MostSpares, "", "Ask for the best few.");
        string[] named = [.. (request.Tubes ?? []).Select(ChosenTubes.Number).OfType<string>()];
        if (named.Length == 0 && string.IsNullOrWhiteSpace(request.Lot)) faults.Add(new("no-tubes", "/tubes", "neither tubes nor a lot", "there must be something to choose from", "Name tubes of the stock, or a lot."));
        if (gate.Value is not { } asked || faults.Count > 0) return Outcome<ChoiceView>.Refuse(faults);
        var found = await tubes.ChooseAsync(named, request.Lot, asked.Network.Rails, 1, progress, cancellation);
        if (found.Value is not { } chosen) return Outcome<ChoiceView>.Refuse(found.Refusals);
        var pinned = (request.Pinned ?? []).ToDictionary(p => p.Key, p => ChosenTubes.Number(p.Value) ?? "", StringComparer.Ordinal);
        // Whoever names a tube means it, wherever it is plugged in now; out of a lot only what is free is taken.
        var used = named.Length > 0 ? [] : (await tubes.ListAsync(cancellation)).Tubes.Where(t => t.InUseAt is not null && chosen.Parts.Any(p => p.Number == t.Number) && !pinned.ContainsValue(t.Number)).ToList();
        var order = new ChoiceOrder(asked.Network, [.. chosen.Parts.Select(p => new ChoiceTube(p.Number!, p)), .. chosen.NotSwept.Select(n => new ChoiceTube(n, null))])
        {
            Pinned = pinned,
            Forbidden = [.. (request.Forbidden ?? []).Select(ChosenTubes.Number).OfType<string>().Concat(used.Select(t => t.Number)).Distinct()],
            Spares = request.Spares,
        };
        progress?.Invoke(new(Choosing, 0, 1));
        var run = await workbench.RunAsync(() => TubeChoice.Run(order, new WorkShare(Choosing, progress), cancellation), cancellation);
        if (run.Value is not { } result) return Outcome<ChoiceView>.Refuse([.. run.Refusals.Select(r => r with { Path = r.Path.Length > 0 ? r.Path : "/tubes" })]);
        var types = chosen.Parts.ToDictionary(p => p.Number!, p => p.TypeName, StringComparer.Ordinal);
        return Outcome<ChoiceView>.Accept(new(
            asked.Network.Name, Placed(result.Best.NumberAt), result.Best.MarginVolts, result.BoundVolts, result.IsBoundFirm, result.Levels.Low, result.Levels.High, result.Levels.Middle,
            result.RunnerUp is { } other ? new(Placed(other.NumberAt.Where(n => result.Best.NumberAt[n.Key] != n.Value)), other.MarginVolts) : null,
            [.. result.Spares.Where(s => !pinned.ContainsKey(s.Key)).Select(s => new PlaceSparesView(s.Key, [.. s.Value.Select(t => new SpareTubeView(t.Number, t.MarginVolts))]))],
            [.. result.LeftOut.Select(t => new ChoiceLeftOutView(t.Number, t.Why, t.Remedy)), .. used.Select(t => new ChoiceLeftOutView(t.Number, $"it is in use at {t.InUseAt}", "Take it out there, or name it among the tubes."))],
            result.Solutions, [.. LogicRemarks.Of(chosen with { NotSwept = [] }, chosen.Tubes.Where(t => result.Best.NumberAt.Values.Contains(t.Part.Number)).Select(t => (t.Part.Number!, t.Marked(asked.Network.Gates[0].Values.IsTriode, double.PositiveInfinity, 0))).Where(m => m.Item2 is not null).Select(m => (m.Item1, m.Item2!)))]));

        PlacedTubeView[] Placed(IEnumerable<KeyValuePair<string, string>> numbers) => [.. numbers.Select(n => new PlacedTubeView(n.Key, n.Value, types[n.Value]))];
    }
}
