using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Choice;

/// <summary>A tube that may be chosen.</summary>
/// <param name="Number">Its number in the stock; no two are alike, whatever their case.</param>
/// <param name="Part">With its model; null when no run has told its constants yet.</param>
/// <param name="Remedy">Of a tube without a model: the sweep that would tell them.</param>
public sealed record ChoiceTube(string Number, TubePart? Part, string? Remedy = null)
{
    /// <summary>A tube as the shelf has it; without a model, and with the shelf's own remedy, where that refuses.</summary>
    public static ChoiceTube From(ITubeShelf shelf, string number)
    {
        ArgumentNullException.ThrowIfNull(shelf);
        var found = shelf.Find(number);
        if (found.Value is not { } tube) return new(number, null, found.Refusals[0].Remedy);
        return new(number, new("V", "p", "s", "g", Network.Ground, new TubeModel(tube.Constants, new Volts(tube.HeaterVolts)))
        {
            Number = tube.Number,
            TypeName = tube.TypeName,
            Range = tube.Range,
            HeaterVolts = tube.HeaterVolts,
            HeaterAmps = tube.HeaterAmps,
        });
    }
}

/// <summary>A network that wants tubes, and the tubes there are.</summary>
/// <param name="Network">Wired already, with its values.</param>
/// <param name="Stock">In any order.</param>
public sealed record ChoiceOrder(GateNetwork Network, IReadOnlyList<ChoiceTube> Stock)
{
    /// <summary>Number of the tube that must stand at a position of <see cref="GateNetwork.Positions"/>.</summary>
    public IReadOnlyDictionary<string, string> Pinned { get; init; } = new Dictionary<string, string>();

    /// <summary>Numbers of tubes that are not to be taken.</summary>
    public IReadOnlyCollection<string> Forbidden { get; init; } = [];

    /// <summary>Most spares to name for each position.</summary>
    public int Spares { get; init; } = 3;

    /// <summary>At which the inputs are held; null for those of a chain of the tube with the greatest margin of its own.</summary>
    internal ChainLevels? Levels { get; init; }

    /// <summary>Proposals to try on the whole network, at least 4: more take longer and bring bound and margin closer.</summary>
    public int MostProposals { get; init; } = 120;
}
