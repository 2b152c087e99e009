using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Types;

namespace SweepRig.Service.Cli.Commands.Types;

/// <summary>All that the catalogue says of a type.</summary>
public static class TypesShowCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "show", "Shows what is known of a type: heater, ratings with their rating system, limits that a bench keeps, pins, sections, typical points, where it was read and how sure it is.",
            new Example("sweeprig types show 6AU6", "By its designation."),
            new Example("sweeprig types show ecc83 --json", "By another name of it, for a script."));
        var name = new Argument<string>("NAME") { Description = "Designation or another name of the type; upper and lower case do not matter" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(name);
        command.Add(data);
        command.Add(json);
        command.SetAction(parsed =>
        {
            var asked = parsed.GetValue(name)!;
            if (TypesCommand.Catalogue(context, parsed.GetValue(data)).Find(asked) is not { } type)
                return context.Tell([new Refusal("type-unknown", "", $"type {asked.Trim()}", "the catalogue has none of that name", "See sweeprig types list, or write one of your own and check it with sweeprig types check FILE.")], parsed.GetValue(json), ExitCode.BadInput);
            var view = TypeViewMaker.Detail(type);
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, view);
            else context.Terminal.Lines(TypeText.Lines(view, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
