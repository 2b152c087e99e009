using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>A gate with rails and values, as a request names it.</summary>
/// <param name="Network">Its stages.</param>
public sealed record AskedGate(GateNetwork Network)
{
    public static GateListView List => new(
        [.. CircuitExamples.All.Select(e => Kind(e.Word, e.Says, e.Make(new(28, -14, 6.3), new())))], StageSettings.UsualRails, StageSettings.UsualValues, StageSearch.UsualLimits, StageSearch.UsualPlate,
        StageSearch.UsualDivider, new(), Domain.Tubes.ExtraLowVoltage.Limit.Value);

    /// <returns>Refused with every fault of the request.</returns>
    public static Outcome<AskedGate> Read(GateRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        return StageSettings.Read(request.Rails, request.Values, request.Gate ?? "")
            .Map(settings => new AskedGate(CircuitExamples.All.First(e => e.Word == request.Gate).Make(settings.Rails, settings.Values)));
    }

    /// <summary>Its tubes by place.</summary>
    public Func<string, TubePart> Placed(ChosenTubes chosen)
    {
        ArgumentNullException.ThrowIfNull(chosen);
        var at = Network.Positions.Select((p, n) => (p, n)).ToDictionary(p => p.p, p => chosen.Tubes[p.n].Part, StringComparer.Ordinal);
        return position => at[position];
    }

    private static GateKindView Kind(string word, string says, GateNetwork network)
    {
        var stores = GateTable.InputPatterns(network).Any(inputs => GateTable.States(network, inputs).Count > 1);
        return new(word, says, [.. network.Inputs], [.. network.Outputs], [.. network.Positions], stores, stores ? [.. Loop(network)] : [], StageSettings.UsualOf(word));
    }

    // A tube of its own for each input is how a NOR is built: of those, the ones that are driven by what their own gate drives.
    private static IEnumerable<string> Loop(GateNetwork network)
    {
        var makers = network.Gates.ToDictionary(g => g.Output, StringComparer.Ordinal);
        foreach (var gate in network.Gates)
            foreach (var (position, at) in gate.Positions.Select((p, at) => (p, at)))
                if ((gate.TubeCount > 1 ? [gate.Inputs[at]] : gate.Inputs).Any(i => makers.TryGetValue(i, out var maker) && GateTable.Before(maker, makers).Contains(gate.Output))) yield return position;
    }
}
