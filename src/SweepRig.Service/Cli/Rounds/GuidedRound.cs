using System.Globalization;
using System.Text.Json;
using SweepRig.Domain.Plans;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Rounds;

namespace SweepRig.Service.Cli.Rounds;

/// <summary>Leads an operator through a round: says what is asked, takes lines, tells each verdict with the pace.</summary>
public sealed class GuidedRound(CliContext context, IBench bench, IHandWords words, bool json)
{
    private const string Cautions =
        "The heaters stay on while tubes are changed: bulbs are hot, so pull with a tube puller or a heat-proof glove, straight, with eye protection. Never touch the socket that is being swept. Extra-low voltage only.";

    private static readonly TimeSpan Every = TimeSpan.FromMilliseconds(100);

    private int _told;
    private string _asked = "";

    public async Task<int> RunAsync(SweepPlan plan, string? lot, IReadOnlyList<string> tubes, IReadOnlyList<int> sockets, CancellationToken cancellation)
    {
        var round = await bench.RoundAsync(cancellation);
        if (round is { IsOver: false })
        {
            Say($"Going on with the round under way: {round.Results.Length} of {round.Tubes} tubes are done.");
        }
        else
        {
            var begun = await bench.BeginRoundAsync(new(JsonElement.Parse(PlanDocument.Write(plan)), lot, [.. tubes], [.. sockets]), cancellation);
            if (!begun.IsAccepted) return context.Tell(begun.Refusals, json, begun.Refusals.Any(r => r.Path.Length > 0) ? ExitCode.BadInput : ExitCode.Refused);
            round = begun.Value;
        }
        Say(Cautions);
        Say(RoundEntry.Words);
        foreach (var left in round.LeftOut) Say($"left out: {left.Tube}, {left.Reason}");
        while (!round.IsOver)
        {
            Tell(round);
            if (words.Next(round) is { } line)
            {
                var entered = await bench.EnterRoundAsync(line, cancellation);
                if (!entered.IsAccepted) context.Tell(entered.Refusals, json: false, ExitCode.Refused);
                // What is asked is said again, so that a refusal is not the last word.
                if (!entered.IsAccepted) _asked = "";
            }
            else if (words.HasEnded && round.Asks[0].Kind != "wait")
            {
                Say("No more lines come: the round ends here.");
                await bench.EndRoundAsync(cancellation);
            }
            else
            {
                await Task.Delay(Every, context.Time, cancellation);
            }
            round = await bench.RoundAsync(cancellation) ?? round;
        }
        Tell(round);
        if (json) CliJson.Write(context.Terminal, round);
        else Write(round);
        return round.IsFinished ? ExitCode.Good : ExitCode.Refused;
    }

    private void Tell(RoundView round)
    {
        for (; _told < round.Results.Length; _told++)
        {
            var result = round.Results[_told];
            Say($"{Ink.Strong(result.Tube)}  {result.Verdict}{(_told == round.Results.Length - 1 && Rate(round.Pace) is { Length: > 0 } rate ? $"  ({_told + 1} of {round.Tubes}, {rate})" : "")}");
        }
        var asked = string.Join(" ", round.Asks.Where(a => a.Kind != "wait").Select(a => a.Kind is "answer" or "mend" && a.Entries.Length > 0 ? $"{a.Text} Say {string.Join(", ", a.Entries)}." : a.Text));
        if (asked == _asked) return;
        _asked = asked;
        if (asked.Length > 0) Say(Ink.Strong($"> {asked}"));
    }

    private void Write(RoundView round)
    {
        var terminal = context.Terminal;
        var table = new TextTable(("tube", false), ("type", false), ("verdict", false));
        foreach (var result in round.Results) table.Row(result.Tube, result.Type, result.Verdict);
        if (round.Results.Length > 0) terminal.Lines(table.Lines(terminal.OutInk));
        var pace = round.Pace;
        if (pace is { Done: > 0, LeastSeconds: { } least, SweepSeconds: { } sweep, HandlingSeconds: { } handling })
        {
            terminal.Lines([string.Create(CultureInfo.InvariantCulture,
                $"{pace.Done} swept in {pace.ElapsedSeconds:0.0} s, {Rate(pace)}. With {pace.WarmUpSeconds:0.#} s of warm-up, {sweep:0.0} s a sweep and {handling:0.0} s of handling (medians) the least for as many is {least:0.0} s; a long round waits for {Limit(pace)}.")]);
        }
    }

    private static string Rate(RoundPaceView pace) => pace.TubesPerHour is { } rate && pace.BoundTubesPerHour is { } bound
        ? string.Create(CultureInfo.InvariantCulture, $"{rate:0} an hour, bound {bound:0}")
        : "";

    private static string Limit(RoundPaceView pace) => pace.LimitedBy switch
    {
        "warm-up" => "warm-up: more sockets would help",
        "sweep" => "the rig: a shorter sweep would help",
        _ => "the hand",
    };

    private Ink Ink => context.Terminal.ErrorInk;

    private void Say(string line)
    {
        foreach (var part in context.Terminal.ErrorIsTerminal ? WrappedText.Of(line, context.Terminal.LiveWidth) : [line]) context.Terminal.Error.WriteLine(part);
    }
}
