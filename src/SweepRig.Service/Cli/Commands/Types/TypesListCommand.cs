using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Types;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands.Types;

/// <summary>Lists the types of the catalogue.</summary>
public static class TypesListCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "list", "Lists tube types: kind, heater, other names, and which are your own.",
            new Example("sweeprig types list", "All of them."),
            new Example("sweeprig types list --kind sharp-cutoff-pentode", "All of a kind."),
            new Example("sweeprig types list --own", "Those of your own."));
        var kind = new Option<string?>("--kind") { Description = $"Only of this kind: {string.Join(", ", TypeWords.Kinds.All)}", HelpName = "KIND" };
        kind.Validators.Add(result =>
        {
            if (result.Tokens.Count > 0 && !TypeWords.Kinds.All.Contains(result.Tokens[^1].Value))
                result.AddError($"--kind {result.Tokens[^1].Value}: allowed is {string.Join(", ", TypeWords.Kinds.All)}. Leave it out for all.");
        });
        var own = new Option<bool>("--own") { Description = "Only those of your own" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        foreach (var option in new Option[] { kind, own, data, json }) command.Add(option);
        command.SetAction(parsed =>
        {
            var reading = TypesCommand.Reading(context, parsed.GetValue(data));
            var all = TypeViewMaker.List(reading);
            var list = all with { Types = [.. all.Types.Where(t => (parsed.GetValue(kind) is not { } k || t.Kind == k) && (!parsed.GetValue(own) || t.File is not null))] };
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, list);
            else Write(context, list, parsed.GetValue(data));
            return reading.Faults.Count == 0 ? ExitCode.Good : ExitCode.BadInput;
        });
        return command;
    }

    private static void Write(CliContext context, TypeListView list, string? data)
    {
        var terminal = context.Terminal;
        if (list.Types.Count == 0)
        {
            terminal.Line($"No type is like that. Your own are read from {UserTypes.PlaceOf(DataPlace.Of(data, context.Variable))}; check one with sweeprig types check FILE.");
            return;
        }
        var table = new TextTable(("type", false), ("kind", false), ("heater", false), ("also called", false), ("", false));
        foreach (var type in list.Types)
        {
            table.Row(
                type.Name, type.Kind, string.Join(" or ", type.Heaters.Select(h => FormattableString.Invariant($"{h.Volts:0.##} V"))), string.Join(", ", type.Aliases),
                string.Join("; ", Marks(type)));
        }
        terminal.Lines(table.Lines(terminal.OutInk));
        terminal.Line(list.Types.Count == 1 ? "1 type." : $"{list.Types.Count} types.");
    }

    private static IEnumerable<string> Marks(TypeSummaryView type)
    {
        if (type.IsCautioned) yield return "CAUTION";
        if (!type.IsSwept) yield return "not swept";
        if (type.File is not null) yield return type.Replaces is null ? "yours" : $"yours, in place of SweepRig's {type.Replaces}";
    }
}
