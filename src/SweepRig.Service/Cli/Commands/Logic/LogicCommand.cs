using System.CommandLine;
using SweepRig.Logic.Export;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>What circuits of measured tubes do, before anything is soldered.</summary>
public static class LogicCommand
{
    public static Command Build(CliContext context) => new ExampledCommand(
        "logic", "Reckons circuits of measured tubes: levels and margins of stages, the best values, tables and yields of gates, parts and sheets to build them by, every state in which a network can rest, and its netlist for SPICE.",
        new Example("sweeprig logic search --lot Skua", "Values that serve every tube of a lot."),
        new Example("sweeprig logic check half-adder --tube SKUA-014 --tube SKUA-021", "A gate of named tubes against its table."),
        new Example("sweeprig logic report half-adder --tube SKUA-014 --tube SKUA-021 --to half-adder.pdf", "The same gate for the bench: parts, schematic, and what a meter is to show."),
        new Example("sweeprig logic example latch > latch.json", "A network to start from."),
        new Example("sweeprig logic solve latch.json", "All its states, stable or not."),
        new Example("sweeprig logic netlist latch.json > latch.cir", "The same network for ngspice."))
    {
        LogicStageCommands.Levels(context),
        LogicStageCommands.Search(context),
        LogicStageCommands.Pair(context),
        LogicGateCommands.Check(context),
        LogicGateCommands.Yield(context),
        LogicChooseCommand.Build(context),
        LogicSparesCommand.Build(context),
        LogicTimeCommands.Timing(context),
        LogicTimeCommands.Map(context),
        LogicBuildCommands.Parts(context),
        LogicBuildCommands.Schematic(context),
        LogicBuildCommands.Report(context),
        LogicBuildCommands.Voltages(context),
        LogicBuildCommands.Check(context),
        Solve(context),
        Netlist(context),
        LogicExampleCommand.Build(context),
        LogicSheetCommands.Build(context),
        Schema(context),
    };

    private static ExampledCommand Solve(CliContext context)
    {
        var command = new ExampledCommand(
            "solve", "Finds every balance of a network: voltages of all nodes, currents of all electrodes, what the sources deliver, and which states hold by themselves.",
            new Example("sweeprig logic solve latch.json", "Tables for people."),
            new Example("sweeprig logic solve - --json < latch.json", "The same for a program, from standard input."));
        return OnNetwork(context, command, (network, asJson, cancellation) =>
        {
            var values = new CircuitValues(Circuit.Of(network));
            var view = NetworkViewMaker.Of(network, values, StateFinder.Find(values, cancel: cancellation));
            if (asJson) CliJson.Write(context.Terminal, view);
            else context.Terminal.Lines(NetworkText.Lines(view, context.Terminal.OutInk));
            return view.States.Length == 0 ? ExitCode.Failed : ExitCode.Good;
        });
    }

    private static ExampledCommand Netlist(CliContext context)
    {
        var command = new ExampledCommand(
            "netlist", "Writes a network as a netlist that ngspice runs as it is: parts, tubes as subcircuits, and an analysis of the direct voltages that is led to the first stable state.",
            new Example("sweeprig logic netlist latch.json > latch.cir", "Then: ngspice -b latch.cir"));
        return OnNetwork(context, command, (network, asJson, cancellation) =>
        {
            // A network that stores has several balances; without this the simulator may stop on the one between them, which no bench shows.
            var led = StateFinder.Find(new CircuitValues(Circuit.Of(network)), cancel: cancellation).Stable is [{ Point: var first }, ..]
                ? NetlistWriter.NodeSet(network.Nodes.ToDictionary(n => n, n => Math.Round(first.At(n), 3)))
                : "";
            var deck = NetlistWriter.Write(network) + led + $".op\n.print op {string.Join(' ', network.Nodes.Select(n => $"v({n})"))}\n.end\n";
            if (asJson) CliJson.Write(context.Terminal, new { name = network.Name, netlist = deck });
            else context.Terminal.Out.Write(deck);
            return ExitCode.Good;
        });
    }

    /// <summary>Gives a command the network that it is about.</summary>
    private static ExampledCommand OnNetwork(CliContext context, ExampledCommand command, Func<Network, bool, CancellationToken, int> act)
    {
        var file = new Argument<string>("FILE") { Description = $"Network (JSON, format {NetworkDocument.Format}; see sweeprig logic schema), or - for standard input" };
        var (data, json) = (SharedOptions.Data(), SharedOptions.Json());
        command.Add(file);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (asJson, path) = (parsed.GetValue(json), parsed.GetRequiredValue(file));
            var read = await NetworkSource.ReadAsync(context, parsed.GetValue(data), path, cancellation);
            return read.Value is { } network ? act(network, asJson, cancellation) : context.Tell(read.Refusals, asJson, ExitCode.BadInput, path);
        });
        return command;
    }

    private static ExampledCommand Schema(CliContext context)
    {
        var command = new ExampledCommand("schema", "Writes the JSON Schema of a network.", new Example("sweeprig logic schema > network.schema.json", "For an editor that checks while you write."));
        command.Add(SharedOptions.Json());
        command.SetAction(_ =>
        {
            context.Terminal.Out.Write(NetworkDocument.Schema);
            return ExitCode.Good;
        });
        return command;
    }
}
