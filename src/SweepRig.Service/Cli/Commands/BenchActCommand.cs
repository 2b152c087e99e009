using System.CommandLine;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Acts of the operator upon a running service's bench: make it safe, acknowledge a trip.</summary>
public static class BenchActCommand
{
    public static Command Safe(CliContext context)
    {
        var command = new ExampledCommand(
            "safe", "Makes the rigs of the running service safe, all of them unless one is named: grid to the most negative bias, supplies off, until acknowledged.",
            new Example("sweeprig safe", "At once, whatever the rigs are doing."),
            new Example("sweeprig safe --rig left", "Only that one of several."),
            new Example("sweeprig safe --reason \"smell of hot resistor\"", "The reason goes into the record."));
        var reason = Bounded.Text("--reason", "TEXT", "Why; it is recorded", 200, "Say in a few words what happened.");
        var (rig, json, data, url) = (SharedOptions.Rig("Only this rig of several, by its name (default: all)"), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        foreach (var option in new Option[] { reason, rig, data, url, json }) command.Add(option);
        command.SetAction((parsed, cancellation) =>
        {
            var (asJson, why) = (parsed.GetValue(json), parsed.GetValue(reason) ?? "asked for on the command line");
            return parsed.GetValue(rig) is { } name
                ? ServiceDoor.EnterAtRigAsync(context, parsed.GetValue(url), parsed.GetValue(data), name, async bench => context.Answer(await bench.MakeSafeAsync(why, cancellation), asJson, _ => Done(name)), cancellation)
                : ServiceDoor.EnterAsync(context, parsed.GetValue(url), parsed.GetValue(data), bench => AllSafeAsync(context, bench, why, asJson, cancellation));
        });
        return command;
    }

    public static Command Acknowledge(CliContext context)
    {
        var command = new ExampledCommand(
            "acknowledge", "Releases a trip of the running service's bench, once its cause is gone.",
            new Example("sweeprig acknowledge", "After you have looked at the cause."),
            new Example("sweeprig acknowledge --rig left", "Where the service drives several rigs."));
        var (rig, json, data, url) = (SharedOptions.Rig(), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        foreach (var option in new Option[] { rig, data, url, json }) command.Add(option);
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAtRigAsync(
            context, parsed.GetValue(url), parsed.GetValue(data), parsed.GetValue(rig),
            async bench => context.Answer(await bench.AcknowledgeAsync(cancellation), parsed.GetValue(json), _ => "Acknowledged. The bench takes commands again."), cancellation));
        return command;
    }

    private static async Task<int> AllSafeAsync(CliContext context, RemoteBench bench, string reason, bool json, CancellationToken cancellation)
    {
        // The order first: which rigs there are is asked when they are safe.
        var made = await bench.MakeSafeAsync(reason, cancellation);
        if (!made.IsAccepted) return context.Tell(made.Refusals, json, ExitCode.Refused);
        var rigs = await bench.RigsAsync(cancellation);
        if (rigs.Rigs.Length == 1) return context.Answer(made, json, _ => Done(null));
        if (json) CliJson.Write(context.Terminal, rigs);
        else context.Terminal.Line($"All {rigs.Rigs.Length} rigs safe ({string.Join(", ", rigs.Rigs.Select(r => r.Name))}): grid at the most negative bias, supplies off. Release each with sweeprig acknowledge --rig NAME.");
        return ExitCode.Good;
    }

    private static string Done(string? rig) => rig is null
        ? "Safe: grid at the most negative bias, supplies off. Release it with sweeprig acknowledge."
        : $"Rig {rig} safe: grid at the most negative bias, supplies off. Release it with sweeprig acknowledge --rig {rig}.";
}
