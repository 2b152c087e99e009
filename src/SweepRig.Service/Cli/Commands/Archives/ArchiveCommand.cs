using System.CommandLine;
using SweepRig.Service.Cli.Parsing;

namespace SweepRig.Service.Cli.Commands.Archives;

/// <summary>Runs and stock in one file, from bench to bench.</summary>
public static class ArchiveCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "archive", "Writes runs and stock into one file with all that is needed to repeat and re-judge them, and takes such a file in at another bench.",
            new Example("sweeprig archive write skua.zip --lot Skua", "A lot: its tubes with their histories, and all their runs."),
            new Example("sweeprig archive look skua.zip", "What it would bring here, and what stands against it; nothing is changed."),
            new Example("sweeprig archive read skua.zip", "Takes it in, whole or not at all."))
        {
            ArchiveWriteCommand.Build(context),
            ArchiveReadCommand.Look(context),
            ArchiveReadCommand.Read(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    public static Argument<string> FileArgument() => new("FILE") { Description = "The archive" };
}
