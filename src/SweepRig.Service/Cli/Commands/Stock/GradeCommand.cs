using System.CommandLine;
using System.Globalization;
using SweepRig.Analysis.Grading;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Shows how a lot falls under grades, and gives them when told to.</summary>
public static class GradeCommand
{
    private const string Example = """{"format": "grades/1", "grades": [{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 3}]}]}""";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "grade", "Shows how the tubes of a lot fall under your grades, by their newest sweeps; with --apply, gives them.",
            new Example("sweeprig grade Skua grades.json", "Look first: nothing is changed."),
            new Example("sweeprig grade Skua grades.json --apply", "The grades stand in the history of each tube."),
            new Example($"echo '{Example}' > grades.json", "A list of grades, the best first."));
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
            var scheme = GradeDocument.Parse(await File.ReadAllTextAsync(parsed.GetValue(file)!, cancellation), TubeFigures.Words);
            if (!scheme.IsAccepted)
            {
                context.Tell(scheme.Refusals, asJson, ExitCode.BadInput);
                return ExitCode.BadInput;
            }
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            if (await LotReading.OfAsync(context, runs, parsed.GetValue(lot)!, parsed.GetValue(data), asJson, cancellation) is not { } reading) return ExitCode.BadInput;
            var grades = LotGrading.Of(scheme.Value, reading.Figures);
            if (parsed.GetValue(apply))
            {
                var store = StockCommand.Of(context, runs!);
                foreach (var tube in grades.Tubes.Where(t => t is { Grade: not null, Undecided: false }))
                    await store.ChangeAsync(tube.Tube, TubeChangeKind.Graded, tube.Grade!, cancellation);
                grades = grades with { Applied = true };
            }
            if (asJson) CliJson.Write(context.Terminal, grades);
            else Write(context, grades);
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, LotGradesView grades)
    {
        var terminal = context.Terminal;
        var table = new TextTable(("tube", false), ("grade", false), ("what stands against a better one", false));
        foreach (var tube in grades.Tubes)
            table.Row(tube.Tube, (tube.Grade ?? LotGrading.None) + (tube.Undecided ? ", or better" : ""), string.Join("; ", tube.Reasons));
        foreach (var line in table.Lines(terminal.OutInk)) terminal.Line(line);
        terminal.Line(string.Join(", ", grades.Counts.Select(c => string.Create(CultureInfo.InvariantCulture, $"{c.Tubes} {c.Grade}"))) + ".");
        terminal.Line(grades.Applied ? "Grades that are sure are given." : "Nothing is changed; --apply gives the grades that are sure.");
    }
}
