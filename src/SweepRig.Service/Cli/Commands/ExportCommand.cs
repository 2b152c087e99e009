using System.CommandLine;
using SweepRig.Analysis.Spice;
using SweepRig.Domain.Runs;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>A tube, as its runs show it, for other programs.</summary>
public static class ExportCommand
{
    private const string StandardOutput = "-";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "export", "Fits a tube to one or more of its runs and writes it as a SPICE subcircuit.",
            new Example($"sweeprig export {RunFinder.Latest} --spice tube.lib", "From the newest run."),
            new Example("sweeprig export 019d2f3a 019d2f41 --spice tube.lib", "From a pentode and a triode run together: more is determined."));
        var runs = new Argument<string[]>("ID")
        {
            Description = $"Ids of runs of one tube, or their first digits, or \"{RunFinder.Latest}\"",
            Arity = ArgumentArity.OneOrMore,
        };
        var spice = new Option<string>("--spice") { Description = "File to write the subcircuit to, or - for standard output", HelpName = "FILE", Required = true };
        var name = Bounded.Text("--name", "NAME", "Name of the subcircuit (default: from the tube's label)", 48, "Give letters, digits and underscores, a letter first.");
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(runs);
        command.Add(spice);
        command.Add(name);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var chosen = await FittedRuns.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(runs), parsed.GetValue(calibration), asJson, cancellation);
            if (chosen is null) return ExitCode.BadInput;
            RunHeader[] headers = [.. chosen.Runs.Select(TubeFits.Header)];
            var subcircuit = parsed.GetValue(name);
            if (FittedTube.Faults(headers, subcircuit) is { Count: > 0 } faults) return context.Tell(faults, asJson, ExitCode.BadInput);
            var fit = TubeFits.Fit(chosen, cancellation);
            var library = FittedTube.Write(fit, headers, subcircuit);
            if (!library.IsAccepted) return context.Tell(library.Refusals, asJson, ExitCode.BadInput);
            // Doubts go to people; the file has them too.
            foreach (var finding in fit.Findings) context.Terminal.Complain($"{finding.Says} {finding.Remedy}");
            var file = parsed.GetRequiredValue(spice);
            if (file == StandardOutput) context.Terminal.Out.Write(library.Value.Text);
            else await RecordedRun.WriteFileAsync(file, async (TextWriter writer) => await writer.WriteAsync(library.Value.Text));
            if (asJson && file != StandardOutput) CliJson.Write(context.Terminal, new Written(file, library.Value.Subcircuits, fit.Status.ToString().ToLowerInvariant()));
            return ExitCode.Good;
        });
        return command;
    }

    private sealed record Written(string File, IReadOnlyList<SpiceSubcircuit> Subcircuits, string Fit);
}
