using SweepRig.Domain;
using SweepRig.Service.Cli.Benches;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>The end of the demonstration: from the lot that was just screened a counter stage of the tide-clock, as the commands under <c>logic</c> find it.</summary>
public sealed class DemoCounter(LocalBench bench)
{
    /// <summary>Changes with each falling edge of its trigger, and so halves its rate.</summary>
    public const string Gate = "toggle";

    public async Task<Outcome<CounterStage>> BuildAsync(CancellationToken cancellation)
    {
        var search = await bench.Logic.SearchAsync(new(Lot: DemoScenario.Lot, Series: DemoScenario.Series), null, cancellation);
        if (search.Value is not { } found) return Outcome<CounterStage>.Refuse(search.Refusals);
        var choice = await bench.Logic.Choices.ChooseAsync(new(Gate, Values: found.Values, Lot: DemoScenario.Lot), null, cancellation);
        if (choice.Value is not { } chosen) return Outcome<CounterStage>.Refuse(choice.Refusals);
        var timing = await bench.Logic.Times.TimeAsync(new(Gate, Values: found.Values, Tubes: [.. chosen.Tubes.Select(t => t.Number)]), null, cancellation);
        if (timing.Value is not { } times) return Outcome<CounterStage>.Refuse(timing.Refusals);
        if (times.Triggers is not [{ ShortestPeriodSeconds: { } period, SmallestFallVolts: { } fall, WidthSeconds: var width }])
            return Outcome<CounterStage>.Refuse(new Refusal("no-trigger", "", $"what triggers a {Gate} of these tubes", string.Join(" ", times.Missing), "Run the demonstration again with another --seed."));
        return Outcome<CounterStage>.Accept(new(
            DemoScenario.Lot, found.Tubes, Gate, found.Values, chosen.Tubes, chosen.MarginVolts, chosen.BoundVolts, chosen.LowVolts, chosen.HighVolts, period, fall, width, chosen.Remarks));
    }
}
