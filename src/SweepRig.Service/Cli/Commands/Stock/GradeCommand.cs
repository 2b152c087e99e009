using System.CommandLine;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Shows how a lot falls under grades, and gives them when told to.</summary>
public static class GradeCommand
{
    private const string Example = """{"format": "grades/1", "grades": [{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 3}]}]}""";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "grade", "Shows how the tubes of a lot fall under your grades, by their newest sweeps and screenings; with --apply, gives them.",
            new Example("sweeprig grade Skua grades.json", "Look first: nothing is changed."),
            new Example("sweeprig grade Skua grades.json --apply", "The grades stand in the history of each tube."),
            new Example($"echo '{Example}' > grades.json", "A list of grades, the best first."))
        {
            Notes = QuantityHelp.Lines,
        };
        var lot = new Argument<string>("LOT") { Description = "Name of the lot; retired tubes are left out" };
        var file = new Argument<string>("FILE") { Description = "Grades with their limits (JSON), the best first; a guard band of one expanded uncertainty is kept unless \"guard\" says otherwise" };
        var apply = new Option<bool>("--apply") { Description = "Give the grades that are sure" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        command.Add(file);
        command.Add(apply);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var path = parsed.GetValue(file)!;
            if (!File.Exists(path)) return context.Tell([new("file-missing", "/file", $"grades in {path}", "there is no such file", "Check its name; --help has an example of one.")], asJson, ExitCode.BadInput);
            var scheme = GradeDocument.Parse(await File.ReadAllTextAsync(path, cancellation), StockQuantities.WithSections);
            if (!scheme.IsAccepted) return context.Tell(scheme.Refusals, asJson, ExitCode.BadInput, path);
            await using var desk = await StockDesk.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (desk is null) return ExitCode.BadInput;
            var sources = StockQuantities.SourcesOf(scheme.Value.Grades.SelectMany(g => g.Limits).Select(l => l.Quantity));
            var reading = await desk.ReadAsync(parsed.GetValue(lot)!, sources, cancellation);
            if (!reading.IsAccepted) return context.Tell(reading.Refusals, asJson, ExitCode.BadInput);
            var grades = LotGrading.Of(scheme.Value, reading.Value.Figures);
            if (parsed.GetValue(apply)) grades = await LotGrading.ApplyAsync(desk.Stock, reading.Value, grades, cancellation);
            if (asJson) CliJson.Write(context.Terminal, grades);
            else context.Terminal.Lines(GradesText.Lines(grades, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }
}
