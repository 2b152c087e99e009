using SweepRig.Domain;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>Puts free tubes of the stock at the empty places of a gate, none without constants: with one of those nothing of the gate could be reckoned. Nothing is stored. Safe from any thread.</summary>
public sealed class FillDesk(LogicTubes tubes)
{
    private const int Named = 4;

    public async Task<Outcome<GateFillView>> FillAsync(FillRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var (gate, placed, faults) = await tubes.PlaceAsync(request, [], progress, cancellation);
        if (gate is null || placed is null) return Outcome<GateFillView>.Refuse(faults);
        string?[] numbers = [.. placed.Parts.Select(p => p.Number)];
        string[] first = [.. (request.First ?? []).Select(ChosenTubes.Number).OfType<string>()];
        var found = await tubes.NextFreeAsync(first, [.. numbers.OfType<string>()], numbers.Count(n => n is null), progress, cancellation);
        if (found.Value is not { } free) return Outcome<GateFillView>.Refuse(found.Refusals);
        var next = new Queue<string>(free.Numbers);
        for (var place = 0; place < numbers.Length; place++)
            if (numbers[place] is null && next.TryDequeue(out var number)) numbers[place] = number;
        return Outcome<GateFillView>.Accept(new(
            gate.Network.Name, numbers, [.. free.LeftOut.Select(l => new ChoiceLeftOutView(l.Number, l.Why.Asked, l.Why.Remedy))], [.. Remarks(free.LeftOut, numbers.Count(n => n is null))]));
    }

    private static IEnumerable<string> Remarks(IReadOnlyList<TubeWithoutModel> leftOut, int empty)
    {
        var (never, fitless) = (leftOut.Where(l => l.Why.Code == FittedTubes.NeverSwept).ToList(), leftOut.Where(l => l.Why.Code != FittedTubes.NeverSwept).ToList());
        if (fitless.Count > 0) yield return $"{Tubes(fitless.Count)} left out, as no sweep tells {(fitless.Count == 1 ? "its" : "their")} constants.";
        foreach (var tube in fitless.Take(Named)) yield return $"{char.ToUpperInvariant(tube.Why.Asked[0])}{tube.Why.Asked[1..].TrimEnd('.')}. {tube.Why.Remedy.TrimEnd('.')}. Then: sweeprig sweep gentle-pentode --tube {tube.Number}.";
        if (fitless.Count > Named) yield return $"The same goes for {LogicRemarks.List([.. fitless.Skip(Named).Select(t => t.Number)])}.";
        if (never.Count > 0) yield return $"{Tubes(never.Count)} left out, as never swept: {LogicRemarks.List([.. never.Select(t => t.Number)])}. What tells the constants: sweeprig sweep gentle-pentode --tube {never[0].Number}.";
        if (empty > 0) yield return $"{empty} {(empty == 1 ? "place stays" : "places stay")} with an example tube: no more free tubes have constants.";
    }

    private static string Tubes(int count) => count == 1 ? "1 free tube was" : $"{count} free tubes were";
}
