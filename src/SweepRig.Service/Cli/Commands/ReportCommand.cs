using System.CommandLine;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports.Stock;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Sheets for the wall and the folder: of a lot, a tube, a run.</summary>
public static class ReportCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "report", "Writes a report of a lot, a tube, a run or a night as PDF or HTML.",
            new Example("sweeprig report lot Skua --grades grades.json --to skua.pdf", "How the lot falls, spreads and pairs."),
            new Example("sweeprig report tube SKUA-014 --to skua-014.pdf", "One tube: what happened to it, and what it does now."),
            new Example($"sweeprig report run {RunFinder.Latest} --to run.pdf", "One run."),
            new Example("sweeprig report night --to morning.pdf", "The bench now, what to do first, and what befell it since yesterday evening."))
        {
            Lot(context),
            Tube(context),
            RunsReportCommand.Build(context, "run", "report run"),
            MorningCommand.Build(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    private static ExampledCommand Lot(CliContext context)
    {
        var command = new ExampledCommand(
            "lot", "Writes a report of a lot: yield by grade, spread with limits and guard bands, two quantities against each other, pairs, every tube, what the figures lean on.",
            new Example("sweeprig report lot Skua --to skua.pdf", "By the grades that were given."),
            new Example("sweeprig report lot Skua --grades grades.json --to skua.html --to skua.pdf --paper letter", "By limits from a file, as sweeprig grade takes it; nothing is changed."));
        var lot = new Argument<string>("LOT") { Description = "Name of the lot" };
        var grades = new Option<string?>("--grades") { Description = "Grades with their limits (JSON), as for sweeprig grade (default: the grades that were given)", HelpName = "FILE" };
        var files = new ReportFiles();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        command.Add(grades);
        files.AddTo(command);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            GradeScheme? scheme = null;
            if (parsed.GetValue(grades) is { } file)
            {
                var read = GradeDocument.Parse(await File.ReadAllTextAsync(file, cancellation), StockQuantities.WithSections);
                if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput);
                scheme = read.Value;
            }
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (onRecord is null) return ExitCode.BadInput;
            using var progress = new ProgressLine(context.Terminal, context.Time, "Tubes read");
            using var workbench = new Workbench();
            if (onRecord.Take(await LotSheet.ReadAsync(
                onRecord.Store, StockCommand.Of(context, onRecord.Store), new(workbench), parsed.GetRequiredValue(lot), scheme, context.Time.GetUtcNow(), progress.Show, cancellation)) is not { } sheet) return ExitCode.BadInput;
            progress.Say("Pairs are being sought");
            var written = await files.WriteAsync(parsed, LotReport.Of(sheet, cancellation));
            if (asJson) CliJson.Write(context.Terminal, new WrittenReport(sheet.Lot.Name, written));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand Tube(CliContext context)
    {
        var command = new ExampledCommand(
            "tube", "Writes the sheet of one tube: type, history, newest curves and levels, health, grade.",
            new Example("sweeprig report tube SKUA-014 --to skua-014.pdf", "By the number written on it."));
        var label = StockCommand.LabelArgument();
        var files = new ReportFiles();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(label);
        files.AddTo(command);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            using var workbench = new Workbench();
            if (onRecord is null || onRecord.Take(await TubeSheet.ReadAsync(
                onRecord.Store, onRecord.Calibrations, StockCommand.Of(context, onRecord.Store), TypesCommand.Catalogue(context, parsed.GetValue(data)), new(workbench), StockCommand.Label(parsed.GetRequiredValue(label)), context.Time.GetUtcNow(), cancellation)) is not { } sheet) return ExitCode.BadInput;
            var written = await files.WriteAsync(parsed, TubeReport.Of(sheet));
            if (asJson) CliJson.Write(context.Terminal, new WrittenReport(sheet.Label, written));
            return ExitCode.Good;
        });
        return command;
    }
}
