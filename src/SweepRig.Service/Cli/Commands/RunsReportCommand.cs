using System.CommandLine;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Cli.Commands;

public static class RunsReportCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "report", "Writes a sheet about a run for the wall above the bench: curves, levels with uncertainty, the fitted tube with residuals, the output predicted for other resistors, health, where it comes from.",
            new Example($"sweeprig runs report {RunFinder.Latest} --pdf sheet.pdf", "For the printer."),
            new Example($"sweeprig runs report {RunFinder.Latest} --html sheet.html --pdf sheet.pdf --paper letter", "Both, on Letter."),
            new Example("sweeprig runs report 019d2f3a --with 019d2f41 --plate-resistor 22000 --pdf sheet.pdf", "Two runs of a tube fitted together, and what 22 kΩ would give."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var html = new Option<string?>("--html") { Description = "HTML file to write; it needs no other file", HelpName = "FILE" };
        var pdf = new Option<string?>("--pdf") { Description = "PDF file to write", HelpName = "FILE" };
        var paper = PaperOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        var with = new Option<string[]>("--with") { Description = "Other runs of the tube to fit together with it; may be given several times", HelpName = "ID", Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = true };
        var plateResistor = Bounded.Number("--plate-resistor", "OHMS", "Predict the output with this plate resistor (default: half and twice the one measured)", PlanLimits.MinOhms, PlanLimits.MaxOhms, "Ω", "Give the resistor that the circuit will have, for example 22000.");
        var plateRail = Bounded.Number("--plate-rail", "V", "Predict the output at this plate rail (default: the one measured)", PlanLimits.MinSupplyVolts, ExtraLowVoltage.Limit.Value, "V", "Give the rail that the circuit will have, for example 24.");
        command.Add(run);
        command.Add(with);
        command.Add(plateResistor);
        command.Add(plateRail);
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
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (onRecord is null || await onRecord.FindAsync([parsed.GetRequiredValue(run), .. parsed.GetValue(with) ?? []], cancellation) is not { } records) return ExitCode.BadInput;
            using var workbench = new Workbench();
            var asked = new ReportAsked([.. records.Skip(1).Select(r => r.Header.Id)], parsed.GetValue(calibration), parsed.GetValue(plateResistor), parsed.GetValue(plateRail));
            if (onRecord.Take(await WholeReport.OfAsync(onRecord.Store, onRecord.Calibrations, workbench, records[0], asked, cancellation)) is not (var recorded, var report)) return ExitCode.BadInput;
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
