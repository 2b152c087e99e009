using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Gates.Documents;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Timing;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Logic;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Sheets of gates: documents that name gates, adders and cells and leave the parts to the program.</summary>
public static class LogicSheetCommands
{
    public static Command Build(CliContext context) => new ExampledCommand(
        "sheet", "Works on a sheet of gates: a document that names gates, adders and storing cells, wired by signals, and leaves the parts to the program.",
        new Example("sweeprig logic sheet example toggle > toggle.json", "A sheet to start from."),
        new Example("sweeprig logic sheet timing toggle.json", "How fast it is, and what it takes."),
        new Example("sweeprig logic sheet expand toggle.json > network.json", "Its parts, for logic solve and logic netlist."))
    {
        SheetExample(context),
        Expand(context),
        Timing(context),
        Schema(context),
    };

    private static ExampledCommand SheetExample(CliContext context)
    {
        var command = new ExampledCommand("example", "Lists the kinds of circuits that a sheet can be made of, or writes a sheet of one of them.",
            new Example("sweeprig logic sheet example", "Which there are, with their signals."), new Example("sweeprig logic sheet example ring > ring.json", "A sheet with one ring."),
            new Example("sweeprig logic sheet example toggle --tube SKUA-014 --tube SKUA-087 --plate-resistor 22000 > toggle.json", "With tubes of the stock and values that a search found."));
        var (kind, json) = (new Argument<string?>("KIND") { Description = "Left out, all are listed", Arity = ArgumentArity.ZeroOrOne }, SharedOptions.Json());
        var tubes = StageArguments.Tubes("Number of a tube in the stock, once for each place; places that are left take any");
        command.Add(kind);
        command.Add(tubes);
        var stage = new StageArguments(command);
        command.Add(json);
        command.SetAction(parsed =>
        {
            var (asked, asJson) = (parsed.GetValue(kind)?.Trim(), parsed.GetValue(json));
            if (asked is null && asJson) CliJson.Write(context.Terminal, new { kinds = CircuitKinds.All.Select(k => new { kind = k.Word, says = k.Says, inputs = k.InputNames, outputs = k.OutputNames }) });
            else if (asked is null)
            {
                var table = new TextTable(("kind", false), ("inputs", false), ("outputs", false), ("", false));
                foreach (var k in CircuitKinds.All) table.Row(k.Word, string.Join(", ", k.InputNames), string.Join(", ", k.OutputNames), k.Says);
                context.Terminal.Lines(table.Lines(context.Terminal.OutInk));
            }
            else if (SheetExamples.All.FirstOrDefault(s => s.Name == asked) is { } sheet)
            {
                var filled = Filled(sheet, parsed.GetValue(tubes) ?? [], stage.All.Any(o => parsed.GetResult(o) is { Implicit: false }) ? StageSettings.Read(stage.Rails(parsed), stage.Values(parsed, asked)) : null);
                if (filled.Value is not { } whole) return context.Tell(filled.Refusals, asJson, ExitCode.BadInput);
                context.Terminal.Out.Write(SheetWriter.Write(whole));
            }
            else
            {
                var nearest = NearestKey.Of(asked, [.. CircuitKinds.All.Select(k => k.Word)]);
                return context.Tell([new Refusal("unknown-kind", "", $"kind {asked}", "there is none of that name", nearest is null ? "See sweeprig logic sheet example for their names." : $"Did you mean {nearest}? See sweeprig logic sheet example.")], asJson, ExitCode.BadInput);
            }
            return ExitCode.Good;
        });
        return command;
    }

    /// <param name="settings">Null for those of the example.</param>
    private static Outcome<GateSheet> Filled(GateSheet example, string[] tubes, Outcome<StageSettings>? settings)
    {
        if (settings is { IsAccepted: false } bad) return Outcome<GateSheet>.Refuse(bad.Refusals);
        var sheet = example with { Entries = [example.Entries[0] with { Tubes = [.. tubes.Select(ChosenTubes.Number)] }] };
        if (settings?.Value is { } asked) sheet = sheet with { Rails = asked.Rails, Values = CellValues.Usual with { Stage = asked.Values } };
        var faults = SheetChecks.Find(sheet);
        return faults.Count > 0 ? Outcome<GateSheet>.Refuse(faults) : Outcome<GateSheet>.Accept(sheet);
    }

    private static ExampledCommand Expand(CliContext context) => OnSheet(context, new ExampledCommand(
        "expand", "Writes the parts of a sheet as a network, inputs at 0 V. Places that take any tube get an example tube.",
        new Example("sweeprig logic sheet expand latch.json > network.json", "Then: sweeprig logic solve network.json")), (sheet, _, asJson, _) =>
    {
        var wired = Wired(sheet);
        if (wired.Value is not { } network) return Task.FromResult(context.Tell(wired.Refusals, asJson, ExitCode.BadInput));
        context.Terminal.Out.Write(NetworkWriter.Write(network));
        return Task.FromResult(ExitCode.Good);
    });

    private static ExampledCommand Timing(CliContext context) => OnSheet(context, new ExampledCommand(
        "timing", "Plays a sheet in time with its tubes: delay of each path from 50 % to 50 %, shortest period and smallest size of each trigger, and what inputs, rails and heaters take.",
        new Example("sweeprig logic sheet timing toggle.json", "Places that take any tube are reckoned with an example tube.")), async (sheet, data, asJson, cancellation) =>
    {
        var wired = Wired(sheet);
        if (wired.Value is not { } placed) return context.Tell(wired.Refusals, asJson, ExitCode.BadInput);
        // Through the document, so that tubes of the stock are found as for every other network.
        var read = await NetworkSource.ReadAsync(context with { Input = new StringReader(NetworkWriter.Write(placed)) }, data, PlanSource.StandardInput, cancellation);
        if (read.Value is not { } network) return context.Tell(read.Refusals, asJson, ExitCode.BadInput);
        var tubes = network.Tubes.ToDictionary(t => t.Name, StringComparer.Ordinal);
        var gates = SheetExpansion.Network(sheet).Value!;
        var told = TimingReport.Of(gates, p => tubes[p], cancellation);
        if (told.Value is not { } report) return context.Tell(told.Refusals, asJson, ExitCode.Failed);
        var view = TimingViewMaker.Of(sheet.Name, gates, report, []);
        if (asJson) CliJson.Write(context.Terminal, view);
        else context.Terminal.Lines(TimingText.Lines(view, context.Terminal.OutInk));
        return ExitCode.Good;
    });

    private static ExampledCommand Schema(CliContext context)
    {
        var command = new ExampledCommand("schema", "Writes the JSON Schema of a sheet.", new Example("sweeprig logic sheet schema > gates.schema.json", "For an editor that checks while you write."));
        command.Add(SharedOptions.Json());
        command.SetAction(_ =>
        {
            context.Terminal.Out.Write(SheetDocument.Schema);
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand OnSheet(CliContext context, ExampledCommand command, Func<GateSheet, string?, bool, CancellationToken, Task<int>> act)
    {
        var file = new Argument<string>("FILE") { Description = $"Sheet (JSON, format {SheetDocument.Format}; see sweeprig logic sheet schema), or - for standard input" };
        var (data, json) = (SharedOptions.Data(), SharedOptions.Json());
        command.Add(file);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (asJson, path) = (parsed.GetValue(json), parsed.GetRequiredValue(file));
            string text;
            try
            {
                text = path == PlanSource.StandardInput ? await context.Input.ReadToEndAsync(cancellation) : await File.ReadAllTextAsync(path, cancellation);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                var why = Directory.Exists(path) ? "it is a directory" : fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
                return context.Tell([new Refusal("sheet-not-readable", "", "the sheet cannot be read", why, $"Give a file of the format {SheetDocument.Format}, or - for standard input.")], asJson, ExitCode.BadInput, path);
            }
            var read = SheetDocument.Parse(text);
            return read.Value is { } sheet ? await act(sheet, parsed.GetValue(data), asJson, cancellation) : context.Tell(read.Refusals, asJson, ExitCode.BadInput, path);
        });
        return command;
    }

    // Numbers go into the network as they are; whoever reads it looks them up.
    private static Outcome<Network> Wired(GateSheet sheet) => SheetExpansion.Wire(sheet, NumberShelf.Instance, _ => Example(sheet.Rails.Heater));

    private static TubePart Example(double heaterVolts) => new("V", "p", "s", "g", Network.Ground, new TubeModel(ExampleTubes.Sound6AU6, new Volts(heaterVolts))) { TypeName = "6AU6", HeaterVolts = heaterVolts };

    private sealed class NumberShelf : ITubeShelf
    {
        public static NumberShelf Instance { get; } = new();

        public Outcome<ShelfTube> Find(string number) => Outcome<ShelfTube>.Accept(new(number, "", ExampleTubes.Sound6AU6, 6.3));
    }
}
