using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Interlocks;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Lists the rules of the host's interlocks, or tells all about one.</summary>
public static class InterlocksCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "interlocks",
            $"Lists the rules that limit drive and tube, with their limits while somebody is at the bench and while nobody is. A bench sets its own within their range in {BenchRuleFile.Name} in its data directory.",
            new Example("sweeprig interlocks", "All of them, and the limits of this bench."),
            new Example("sweeprig interlocks grid-current", "One: what it is for, what it does, where its limit comes from, what to do when it has fired."),
            new Example("sweeprig interlocks --json", "The same for a script."));
        var rule = new Argument<string?>("RULE") { Description = "Name of a rule; left out, all are listed", Arity = ArgumentArity.ZeroOrOne };
        var (json, data) = (SharedOptions.Json(), SharedOptions.DataOnly());
        command.Add(rule);
        command.Add(data);
        command.Add(json);
        command.SetAction(parsed => Show(context, parsed.GetValue(rule)?.Trim(), parsed.GetValue(data), parsed.GetValue(json)));
        return command;
    }

    private static int Show(CliContext context, string? asked, string? data, bool json)
    {
        var directory = DataPlace.Of(data, context.Variable);
        var read = BenchRuleFile.Read(directory);
        if (!read.IsAccepted) return context.Tell(read.Refusals, json, ExitCode.BadInput, BenchRuleFile.PlaceOf(directory));
        var terminal = context.Terminal;
        if (asked is null)
        {
            var list = RuleViews.List(read.Value);
            if (json) CliJson.Write(terminal, list);
            else terminal.Lines(InterlockText.List(list, terminal.OutInk));
            return ExitCode.Good;
        }
        if (InterlockRules.Find(asked) is not { } found)
        {
            var nearest = Domain.Plans.Reading.NearestKey.Of(asked, [.. InterlockRules.All.Select(r => r.Id)]);
            return context.Tell(
                [new Refusal("rule-unknown", "", $"rule {asked}", "the interlocks have none of that name", nearest is null ? "See sweeprig interlocks for their names." : $"Did you mean {nearest}? See sweeprig interlocks.")],
                json, ExitCode.BadInput);
        }
        var view = RuleViews.Of(found, read.Value);
        if (json) CliJson.Write(terminal, view);
        else terminal.Lines(InterlockText.One(view, terminal.OutInk));
        return ExitCode.Good;
    }
}
