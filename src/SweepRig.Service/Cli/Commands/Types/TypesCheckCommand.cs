using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Types;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands.Types;

/// <summary>Checks the document of a type before it is put with the others.</summary>
public static class TypesCheckCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "check", "Checks a type of your own against the schema and against the types that are there, and changes nothing.",
            new Example("sweeprig types check cv4014.json", "Every fault at once, each with its place in the file."),
            new Example("sweeprig types show EF91 --json", "What SweepRig has of a type, to compare yours with."));
        var file = new Argument<string>("FILE") { Description = "Document of a type (JSON, format tube-type/1; its schema is served at /api/types/schema)" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(file);
        command.Add(data);
        command.Add(json);
        command.SetAction(parsed =>
        {
            var (path, directory) = (parsed.GetValue(file)!, DataPlace.Of(parsed.GetValue(data), context.Variable));
            var read = Check(path, directory);
            if (!read.IsAccepted) return context.Tell(read.Refusals, parsed.GetValue(json), ExitCode.BadInput, path);
            var view = TypeViewMaker.Detail(read.Value);
            if (parsed.GetValue(json))
            {
                CliJson.Write(context.Terminal, view);
                return ExitCode.Good;
            }
            context.Terminal.Line($"Good: {view.Summary.Name}, {view.Summary.Kind}{(view.Summary.Replaces is { } replaced ? $", in place of SweepRig's {replaced}" : "")}.");
            context.Terminal.Line($"Put it into {UserTypes.PlaceOf(directory)} to have it; a service that runs takes it up when it is started again.");
            return ExitCode.Good;
        });
        return command;
    }

    private static Outcome<TubeType> Check(string path, string directory)
    {
        var text = UserTypes.ReadText(path);
        if (!text.IsAccepted) return Outcome<TubeType>.Refuse(text.Refusals);
        // After all others, so that what stands between two of them is told of this one.
        var others = UserTypes.Texts(directory).Files.Where(o => o.Name != text.Value.Name).ToArray();
        var reading = TypeCatalogue.BuiltIn.With(others).Catalogue.With([text.Value]);
        Refusal[] faults = [.. reading.Faults.Select(f => f.Refusal)];
        return faults.Length > 0 ? Outcome<TubeType>.Refuse(faults) : Outcome<TubeType>.Accept(reading.Catalogue.All.Single(t => t.File == text.Value.Name));
    }
}
