using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Rounds;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>Books a small lot in and screens it in a round of the simulated rig, whose hands take no time. What an earlier demonstration left in the same directory is gone on with.</summary>
public sealed class DemoStock(LocalBench bench, TimeProvider time)
{
    private static readonly TimeSpan Every = TimeSpan.FromMilliseconds(20);

    /// <returns>Why not; empty when every tube of the lot is swept.</returns>
    public async Task<IReadOnlyList<Refusal>> ScreenAsync(CancellationToken cancellation)
    {
        var tubes = await bench.Stock.TubesAsync(DemoScenario.Lot, cancellation);
        if (tubes.Count == 0)
        {
            var lot = new Lot(DemoScenario.Lot, Lot.PrefixOf(DemoScenario.Lot)!, DemoScenario.LotType, "coast radio station", null, "simulated, for the demonstration", time.GetUtcNow());
            var booked = await bench.Stock.BookAsync(lot, DemoScenario.LotTubes, null, cancellation);
            if (booked.Value is not { } fresh) return booked.Refusals;
            tubes = fresh;
        }
        if (tubes.All(t => t.State != TubeState.New)) return [];
        var begun = await bench.BeginRoundAsync(new(JsonElement.Parse(PlanDocument.Write(DemoScenario.Screening)), DemoScenario.Lot), cancellation);
        if (begun.Value is not { } round) return begun.Refusals;
        for (var hands = new PracticeHands(time, TimeSpan.Zero); !round.IsOver; round = await bench.RoundAsync(cancellation) ?? round)
        {
            if (hands.Next(round) is { } line) await bench.EnterRoundAsync(line, cancellation);
            else await Task.Delay(Every, time, cancellation);
        }
        return round.IsFinished ? [] : [new("round-cut-short", "", $"{round.Results.Length} of {round.Tubes} tubes were swept", "all of them are needed", "Run the demonstration again: it goes on with the others.")];
    }
}
