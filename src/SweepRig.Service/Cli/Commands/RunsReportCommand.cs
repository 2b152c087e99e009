using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Live;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Cli.Commands;

public static class RunsReportCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "report", "Writes a sheet about a run for the wall above the bench: curves, levels with uncertainty, what happened, where it comes from.",
            new Example($"sweeprig runs report {RunFinder.Latest} --pdf sheet.pdf", "For the printer."),
            new Example($"sweeprig runs report {RunFinder.Latest} --html sheet.html --pdf sheet.pdf --paper letter", "Both, on Letter."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var html = new Option<string?>("--html") { Description = "HTML file to write; it needs no other file", HelpName = "FILE" };
        var pdf = new Option<string?>("--pdf") { Description = "PDF file to write", HelpName = "FILE" };
        var paper = PaperOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(run);
        command.Add(html);
        command.Add(pdf);
        command.Add(paper);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.Validators.Add(result =>
        {
            if (result.GetValue(html) is null && result.GetValue(pdf) is null) result.AddError("Nothing to write was named. Give --pdf FILE, --html FILE or both.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var recorded = await RunsCommand.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(run), parsed.GetValue(calibration), asJson, cancellation);
            if (recorded is null) return ExitCode.BadInput;
            var report = RunReport.Of(recorded);
            if (parsed.GetValue(html) is { } htmlFile)
            {
                var text = HtmlReport.Write(report);
                await RecordedRun.WriteFileAsync(htmlFile, async (TextWriter writer) => await writer.WriteAsync(text));
            }
            if (parsed.GetValue(pdf) is { } pdfFile)
            {
                var bytes = PdfReport.Write(report, parsed.GetValue(paper) ?? Paper.A4);
                await RecordedRun.WriteFileAsync(pdfFile, async (Stream file) => await file.WriteAsync(bytes));
            }
            if (asJson) CliJson.Write(context.Terminal, new WrittenReport(recorded.Record.Header.Id, parsed.GetValue(html), parsed.GetValue(pdf)));
            return ExitCode.Good;
        });
        return command;
    }

    private static Option<Paper?> PaperOption() => new("--paper")
    {
        Description = "Sheet of the PDF: a4 or letter (default: a4)",
        HelpName = "NAME",
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            if (Paper.Find(text) is { } paper) return paper;
            result.AddError($"--paper {text}: allowed are {string.Join(" and ", Paper.All.Select(p => p.Name))}. Give one of these.");
            return null;
        },
    };

    private sealed record WrittenReport(string RunId, string? Html, string? Pdf);
}
