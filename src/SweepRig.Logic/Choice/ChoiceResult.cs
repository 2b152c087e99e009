using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;

namespace SweepRig.Logic.Choice;

/// <summary>A tube for every position.</summary>
/// <param name="NumberAt">Number of the tube, by position, in the order of the network.</param>
/// <param name="MarginVolts">
/// Adverse voltage in series with every input of every gate at once that the network bears in its worst row, as <see cref="NetworkChecker"/> has it. Unit: V; good to a millivolt.
/// </param>
public sealed record TubePlacement(IReadOnlyDictionary<string, string> NumberAt, double MarginVolts);

/// <summary>A tube that is left over and could stand in for the chosen one.</summary>
/// <param name="Number">Of the stock.</param>
/// <param name="MarginVolts">What the network has with it, all other tubes as chosen. Unit: V.</param>
public sealed record TubeSpare(string Number, double MarginVolts);

/// <summary>A tube that could not be considered.</summary>
/// <param name="Number">Of the stock.</param>
/// <param name="Why">What is missing.</param>
/// <param name="Remedy">The sweep to run.</param>
public sealed record TubeLeftOut(string Number, string Why, string Remedy);

/// <summary>Which tube goes where.</summary>
/// <param name="Best">The placement with the greatest worst margin that was found.</param>
/// <param name="BoundVolts">No placement has a greater worst margin, as far as <see cref="BestTubes"/> holds. Unit: V.</param>
/// <param name="IsBoundFirm">False for a network that holds itself: beside a weak tube others than the best can be better, so that there the bound is an estimate.</param>
/// <param name="RunnerUp">The best of all other placements that was found; null when there is no other.</param>
/// <param name="Spares">Of each position the best tubes that are left over, the best first; none at a position that is pinned.</param>
/// <param name="LeftOut">Tubes without a model.</param>
/// <param name="Levels">At which the inputs are held: those that a chain of the tube with the greatest margin of its own restores.</param>
/// <param name="Check">Every row of the best placement at those levels.</param>
/// <param name="Solutions">Balances of the whole network that it took.</param>
public sealed record TubeChoiceResult(
    TubePlacement Best, double BoundVolts, bool IsBoundFirm, TubePlacement? RunnerUp, IReadOnlyDictionary<string, IReadOnlyList<TubeSpare>> Spares, IReadOnlyList<TubeLeftOut> LeftOut,
    ChainLevels Levels, NetworkCheck Check, long Solutions);
