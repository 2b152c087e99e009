using System.CommandLine;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Cli.Commands;

/// <summary>A report of a run: <c>report run</c>, and <c>report</c> among the commands of runs.</summary>
public static class RunsReportCommand
{
    public static Command Build(CliContext context, string name, string path)
    {
        var command = new ExampledCommand(
            name, "Writes a sheet about a run for the wall above the bench: curves, levels with uncertainty, the fitted tube with residuals, the output predicted for other resistors, health, where it comes from.",
            new Example($"sweeprig {path} {RunFinder.Latest} --to sheet.pdf", "For the printer."),
            new Example($"sweeprig {path} {RunFinder.Latest} --to sheet.html --to sheet.pdf --paper letter", "Both, on Letter."),
            new Example($"sweeprig {path} 019d2f3a --with 019d2f41 --plate-resistor 22000 --to sheet.pdf", "Two runs of a tube fitted together, and what 22 kΩ would give."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var files = new ReportFiles();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        var with = new Option<string[]>("--with") { Description = "Other runs of the tube to fit together with it; may be given several times", HelpName = "ID", Arity = ArgumentArity.OneOrMore, AllowMultipleArgumentsPerToken = true };
        var plateResistor = Bounded.Number("--plate-resistor", "OHMS", "Predict the output with this plate resistor (default: half and twice the one measured)", PlanLimits.MinOhms, PlanLimits.MaxOhms, "Ω", "Give the resistor that the circuit will have, for example 22000.");
        var plateRail = Bounded.Number("--plate-rail", "V", "Predict the output at this plate rail (default: the one measured)", PlanLimits.MinSupplyVolts, ExtraLowVoltage.Limit.Value, "V", "Give the rail that the circuit will have, for example 24.");
        command.Add(run);
        command.Add(with);
        command.Add(plateResistor);
        command.Add(plateRail);
        files.AddTo(command);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var onRecord = await OnRecord.OpenAsync(context, parsed.GetValue(data), asJson, cancellation);
            if (onRecord is null || await onRecord.FindAsync([parsed.GetRequiredValue(run), .. parsed.GetValue(with) ?? []], cancellation) is not { } records) return ExitCode.BadInput;
            using var workbench = new Workbench();
            var asked = new ReportAsked([.. records.Skip(1).Select(r => r.Header.Id)], parsed.GetValue(calibration), parsed.GetValue(plateResistor), parsed.GetValue(plateRail));
            if (onRecord.Take(await WholeReport.OfAsync(onRecord.Store, onRecord.Calibrations, workbench, records[0], asked, cancellation)) is not (var recorded, var report)) return ExitCode.BadInput;
            var written = await files.WriteAsync(parsed, report);
            if (asJson) CliJson.Write(context.Terminal, new WrittenReport(recorded.Record.Header.Id, written));
            return ExitCode.Good;
        });
        return command;
    }
}
