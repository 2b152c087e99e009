using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Types;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands.Types;

/// <summary>The type catalogue: lists it, shows a type, checks a user's own.</summary>
public static class TypesCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "types", $"Lists tube types, shows what is known of one, and checks a type of your own. Your own lie as JSON in the folder {UserTypes.Folder} of the data directory.",
            new Example("sweeprig types list --kind double-triode", "All of a kind."),
            new Example("sweeprig types show ECC83", "Ratings, pins and points of a type, by any of its names."))
        {
            TypesListCommand.Build(context),
            TypesShowCommand.Build(context),
            TypesCheckCommand.Build(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    /// <summary>The catalogue with the user's own types; what is wrong with one is told, and the others count.</summary>
    public static TypeCatalogue Catalogue(CliContext context, string? data) => Reading(context, data).Catalogue;

    /// <summary>As <see cref="Catalogue"/>, with what is wrong.</summary>
    public static CatalogueReading Reading(CliContext context, string? data)
    {
        var directory = DataPlace.Of(data, context.Variable);
        var reading = UserTypes.Read(directory);
        foreach (var file in reading.Faults.GroupBy(f => f.File))
            context.Tell([.. file.Select(f => f.Refusal)], json: false, ExitCode.BadInput, Path.Combine(UserTypes.PlaceOf(directory), file.Key));
        return reading;
    }
}
