using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Lists the networks that are often wanted, or writes one of them as a document to start from.</summary>
public static class LogicExampleCommand
{
    // The rails of a low-voltage bench; whoever has others writes them into the document.
    private static readonly GateRails Rails = new(28, -14, 6.3);

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "example", "Lists networks that are often wanted, or writes one of them as a document to change and solve: on 28 V and -14 V, inputs low, with an example tube or tubes of your stock.",
            new Example("sweeprig logic example", "Which there are."),
            new Example("sweeprig logic example latch --tube SKUA-014 --tube SKUA-087 > latch.json", "With tubes of the stock, in the order of their places; places that are left keep the example tube."));
        var name = new Argument<string?>("NAME") { Description = "Of the network; left out, all are listed", Arity = ArgumentArity.ZeroOrOne };
        var tubes = new Option<string[]>("--tube") { Description = "Number of a tube in the stock, once for each place", HelpName = "NUMBER", Arity = ArgumentArity.ZeroOrMore };
        var triode = new Option<bool>("--triode") { Description = "Screens tied to the plates" };
        var json = SharedOptions.Json();
        command.Add(name);
        command.Add(tubes);
        command.Add(triode);
        command.Add(json);
        command.SetAction(parsed => Show(context, parsed.GetValue(name)?.Trim(), parsed.GetValue(tubes) ?? [], parsed.GetValue(triode), parsed.GetValue(json)));
        return command;
    }

    private static int Show(CliContext context, string? asked, string[] tubes, bool triode, bool json)
    {
        if (asked is null) return List(context, json);
        if (CircuitExamples.All.FirstOrDefault(e => e.Word == asked) is not { Make: { } make })
        {
            var nearest = NearestKey.Of(asked, [.. CircuitExamples.All.Select(e => e.Word)]);
            return context.Tell([new Refusal("example-unknown", "", $"example {asked}", "there is none of that name", nearest is null ? "See sweeprig logic example for their names." : $"Did you mean {nearest}? See sweeprig logic example.")], json, ExitCode.BadInput);
        }
        var network = make(Rails, CircuitExamples.UsualOf(asked, triode));
        if (tubes.Length > network.Positions.Count)
            return context.Tell([new Refusal("tubes-left-over", "", $"{tubes.Length} tubes", $"{asked} has {network.Positions.Count} {(network.Positions.Count == 1 ? "place" : "places")}", $"Name at most {network.Positions.Count}.")], json, ExitCode.BadInput);
        var model = new TubeModel(ExampleTubes.Sound6AU6, new Volts(Rails.Heater));
        var places = network.Positions.Select((p, at) => (p, at)).ToDictionary(p => p.p, p => p.at, StringComparer.Ordinal);
        var wired = GateWiring.Wire(
            network,
            position => new("V", "p", "s", "g", Network.Ground, model) { Number = places[position] < tubes.Length ? tubes[places[position]].Trim().ToUpperInvariant() : null, TypeName = "6AU6" },
            [.. network.Inputs.Select(_ => Waveform.Steady(2))]);
        context.Terminal.Out.Write(NetworkWriter.Write(wired));
        return ExitCode.Good;
    }

    private static int List(CliContext context, bool json)
    {
        var networks = CircuitExamples.All.Select(e => (e.Word, e.Says, Network: e.Make(Rails, new()))).ToList();
        if (json)
        {
            CliJson.Write(context.Terminal, new { networks = networks.Select(n => new { name = n.Word, says = n.Says, inputs = n.Network.Inputs, outputs = n.Network.Outputs, tubes = n.Network.Positions }) });
            return ExitCode.Good;
        }
        var table = new TextTable(("network", false), ("tubes", true), ("inputs", false), ("outputs", false), ("", false));
        foreach (var (word, says, network) in networks) table.Row(word, FormattableString.Invariant($"{network.Positions.Count}"), string.Join(' ', network.Inputs), string.Join(' ', network.Outputs), says);
        context.Terminal.Lines(table.Lines(context.Terminal.OutInk));
        return ExitCode.Good;
    }
}
