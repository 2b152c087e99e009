using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

public static class RunsShowCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "show", "Shows one run: where it comes from, its levels, its curve, trips and gaps.",
            new Example($"sweeprig runs show {RunFinder.Latest}", "The newest run."),
            new Example("sweeprig runs show 019d2f3a", "The run whose id begins so."));
        var run = RunsCommand.RunArgument();
        var calibration = RunsCommand.CalibrationOption();
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(run);
        command.Add(calibration);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var recorded = await RunsCommand.ReadAsync(context, parsed.GetValue(data), parsed.GetRequiredValue(run), parsed.GetValue(calibration), parsed.GetValue(json), cancellation);
            if (recorded is null) return ExitCode.BadInput;
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, new ShownRun(RunViews.Of(recorded.Record), recorded.Levels()));
            else Write(context, recorded);
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, RecordedRun recorded)
    {
        var terminal = context.Terminal;
        terminal.Lines(RunText.Provenance(recorded.Record, recorded.InForce, terminal.OutInk));
        terminal.Lines(RunText.Events(recorded.Record));
        terminal.Line();
        CurveReport.Write(terminal, recorded.CurvesView.Curves);
        terminal.Line();
        terminal.Lines(LevelsTable.Lines([("", recorded.Levels())], terminal.Width, terminal.OutInk));
    }

    private sealed record ShownRun(RunView Run, RunLevelsView Levels);
}
