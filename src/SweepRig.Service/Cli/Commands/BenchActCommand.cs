using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Acts of the operator upon a running service's bench: make it safe, acknowledge a trip.</summary>
public static class BenchActCommand
{
    public static Command Safe(CliContext context)
    {
        var command = new ExampledCommand(
            "safe", "Makes the rig of the running service safe: grid to the most negative bias, supplies off, until acknowledged.",
            new Example("sweeprig safe", "At once, whatever the rig is doing."),
            new Example("sweeprig safe --reason \"smell of hot resistor\"", "The reason goes into the record."));
        var reason = Bounded.Text("--reason", "TEXT", "Why; it is recorded", 200, "Say in a few words what happened.");
        command.Add(reason);
        Act(command, context, (bench, parsed, cancellation) => bench.MakeSafeAsync(parsed.GetValue(reason) ?? "asked for on the command line", cancellation),
            "Safe: grid at the most negative bias, supplies off. Release it with sweeprig acknowledge.");
        return command;
    }

    public static Command Acknowledge(CliContext context)
    {
        var command = new ExampledCommand(
            "acknowledge", "Releases a trip of the running service's bench, once its cause is gone.",
            new Example("sweeprig acknowledge", "After you have looked at the cause."));
        Act(command, context, (bench, _, cancellation) => bench.AcknowledgeAsync(cancellation), "Acknowledged. The bench takes commands again.");
        return command;
    }

    private static void Act(Command command, CliContext context, Func<IBench, ParseResult, CancellationToken, Task<Outcome<BenchView>>> act, string done)
    {
        var (json, data, url) = (SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        command.Add(data);
        command.Add(url);
        command.Add(json);
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAsync(
            context, parsed.GetValue(url), parsed.GetValue(data),
            async bench => context.Answer(await act(bench, parsed, cancellation), parsed.GetValue(json), _ => done)));
    }
}
