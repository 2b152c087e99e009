using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Logic.Building;
using SweepRig.Logic.Drawing;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Commands about what goes to the bench with a gate or a network: parts, schematic, sheets.</summary>
internal static class LogicBuildCommands
{
    private const string Svg = ".svg";

    public static Command Parts(CliContext context)
    {
        var command = new ExampledCommand(
            "parts", "Lists everything that a build takes: tubes by number, resistors by value with the rating to buy, capacitors, diodes, and what rails and heaters must give.",
            new Example("sweeprig logic parts latch --tube SKUA-014 --tube SKUA-087 --tube SKUA-003 --tube SKUA-021", "A latch of four tubes."),
            new Example("sweeprig logic parts latch.json --resistor-tolerance 10 --json", "A network of your own, for a program."));
        var build = new BuildArguments(command);
        LogicWork.Add(context, command, async (parsed, desk, progress, c) => (await PlanAsync(context, build, parsed, null, desk, progress, c)).Map(p => p.Parts()), view => PartsText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    public static Command Schematic(CliContext context)
    {
        var command = new ExampledCommand(
            "schematic", "Draws a gate with its tubes, or a network, as SVG. Drawn without being solved; heaters are not drawn.",
            new Example("sweeprig logic schematic half-adder --tube SKUA-014 --to half-adder.svg", "Places that are left have an example tube."),
            new Example("sweeprig logic schematic latch.json --to latch.svg", "A network of your own: every part by itself, leads with the same name are joined."));
        var build = new BuildArguments(command, solved: false);
        var to = new Option<string>("--to") { Description = "File to write, which ends in .svg", HelpName = "FILE", Required = true };
        command.Add(to);
        command.Validators.Add(result =>
        {
            if (result.GetResult(to) is { Tokens: [.., { Value: var file }] } && !file.EndsWith(Svg, StringComparison.OrdinalIgnoreCase)) result.AddError($"--to {file}: allowed is a file that ends in {Svg}. Give it this ending.");
        });
        LogicWork.Add(context, command, async (parsed, desk, progress, c) =>
        {
            var asked = await build.ReadAsync(context, parsed, c);
            if (asked.Value is not { } what) return Outcome<WrittenReport>.Refuse(asked.Refusals);
            var drawn = await desk.Builds.DrawAsync(build.Request(parsed), what.Document, progress, c);
            if (drawn.Value is not { } drawing) return Outcome<WrittenReport>.Refuse(drawn.Refusals);
            var (file, svg) = (parsed.GetRequiredValue(to), SvgWriter.Write(drawing));
            await RecordedRun.WriteFileAsync(file, async (TextWriter writer) => await writer.WriteAsync(svg));
            return Outcome<WrittenReport>.Accept(new(drawing.Title, [file]));
        }, Said);
        return command;
    }

    public static Command Report(CliContext context)
    {
        var command = new ExampledCommand(
            "report", "Writes what goes to the bench with a gate or a network: cautions, parts, schematic, steps to build it in, and what a meter is to show at every node in every row.",
            new Example("sweeprig logic report half-adder --tube SKUA-014 --tube SKUA-021 --to half-adder.pdf", "For the printer."),
            new Example("sweeprig logic report latch.json --meter 1e6 --to latch.html --to latch.pdf --paper letter", "A network of your own, readings for a meter of 1 megohm."));
        var build = new BuildArguments(command);
        var meter = Meter();
        command.Add(meter);
        var files = new ReportFiles();
        files.AddTo(command);
        LogicWork.Add(context, command, async (parsed, desk, progress, c) =>
        {
            var planned = await PlanAsync(context, build, parsed, parsed.GetValue(meter), desk, progress, c);
            if (planned.Value is not { } plan) return Outcome<WrittenReport>.Refuse(planned.Refusals);
            var report = plan.Report(context.Time.GetUtcNow());
            return Outcome<WrittenReport>.Accept(new(report.Title, await files.WriteAsync(parsed, report)));
        }, Said);
        return command;
    }

    public static Command Voltages(CliContext context)
    {
        var command = new ExampledCommand(
            "test-voltages", "Tells what a meter is to show at every node of a build, in every row, and within what a sound build may differ.",
            new Example("sweeprig logic test-voltages half-adder --tube SKUA-014 --tube SKUA-021", "Read them off, write them down as readings.csv, then: sweeprig logic build-check"),
            new Example("sweeprig logic test-voltages latch.json --meter 1e6 --json", "A network of your own and a meter of 1 megohm, for a program."));
        var build = new BuildArguments(command);
        var meter = Meter();
        command.Add(meter);
        LogicWork.Add(context, command, async (parsed, desk, progress, c) => (await PlanAsync(context, build, parsed, parsed.GetValue(meter), desk, progress, c)).Map(p => p.Voltages()),
            view => TestVoltagesText.Lines(view, context.Terminal.OutInk));
        return command;
    }

    public static Command Check(CliContext context)
    {
        var command = new ExampledCommand(
            "build-check", "Holds what a meter showed at a build against what it should and against every single fault: what explains the readings, where to look, and what to read next.",
            new Example("sweeprig logic build-check half-adder readings.csv --tube SKUA-014 --tube SKUA-021", "readings.csv begins with the line node,row,volts; nodes and rows are named as in sweeprig logic report. Exit code 1 when the build is not sound."),
            new Example("sweeprig logic build-check latch.json readings.csv --json", "A network of your own, for a program."));
        var build = new BuildArguments(command);
        var file = new Argument<string>("READINGS") { Description = "Table (CSV) with the columns node, row, volts, and meterOhms where it is not 10 megohms" };
        command.Add(file);
        LogicWork.Add(context, command, async (parsed, desk, progress, c) =>
        {
            var path = parsed.GetRequiredValue(file);
            if (!File.Exists(path)) return Outcome<BuildVerdictView>.Refuse(new Refusal("readings-not-readable", "", $"the readings {path} cannot be read", Directory.Exists(path) ? "it is a directory" : "there is no such file", "Give a table (CSV) with the columns node, row, volts."));
            using var text = File.OpenText(path);
            var readings = ReadingsCsv.Read(text);
            if (readings.Value is not { } read) return Outcome<BuildVerdictView>.Refuse(readings.Refusals);
            var planned = await PlanAsync(context, build, parsed, null, desk, progress, c);
            return planned.Value is { } plan ? plan.Judge(read, c) : Outcome<BuildVerdictView>.Refuse(planned.Refusals);
        }, view => view.Says, view => view.Sound ? ExitCode.Good : ExitCode.Failed);
        return command;
    }

    private static Option<double?> Meter() => Bounded.Number(
        "--meter", "OHMS", "Input resistance of the meter that readings are for (default: 10000000)", BuildCheck.LeastMeterOhms, BuildCheck.MostMeterOhms, "ohm", "Take it from the sheet of the meter; 10 megohms are usual.");

    private static async Task<Outcome<PlannedBuild>> PlanAsync(
        CliContext context, BuildArguments build, ParseResult parsed, double? meterOhms, LogicDesk desk, Action<LogicWorkView> progress, CancellationToken cancellation)
    {
        var asked = await build.ReadAsync(context, parsed, cancellation);
        if (asked.Value is not { } what) return Outcome<PlannedBuild>.Refuse(asked.Refusals);
        return await desk.Builds.PlanAsync(build.Request(parsed, meterOhms), what.Document, progress, cancellation);
    }

    private static IEnumerable<string> Said(WrittenReport written) => written.Files.Select(f => $"{written.Of}: {f}");
}
