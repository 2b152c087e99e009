namespace SweepRig.Service.Contract;

/// <summary>Which tube goes where in a gate.</summary>
/// <param name="Tubes">The placement with the greatest worst margin that was found.</param>
/// <param name="MarginVolts">Voltage that can stand adversely in series with every input of every gate at once, in its worst row.</param>
/// <param name="BoundVolts">No placement has more.</param>
/// <param name="BoundFirm">False for a gate that holds itself: its tubes hang on one another, and the bound is an estimate.</param>
/// <param name="RunnerUp">The best of all others that was found; null when there is no other.</param>
/// <param name="Spares">For each place that is not pinned, the best first.</param>
/// <param name="LeftOut">Tubes that could not be considered.</param>
/// <param name="Solutions">Balances of the whole gate that it took.</param>
public sealed record ChoiceView(
    string Gate, PlacedTubeView[] Tubes, double MarginVolts, double BoundVolts, bool BoundFirm, double LowVolts, double HighVolts, double ThresholdVolts, RunnerUpView? RunnerUp,
    PlaceSparesView[] Spares, ChoiceLeftOutView[] LeftOut, long Solutions, string[] Remarks);

/// <param name="Tubes">Only those that differ from the best.</param>
public sealed record RunnerUpView(PlacedTubeView[] Tubes, double MarginVolts);

public sealed record PlaceSparesView(string Position, SpareTubeView[] Tubes);

/// <param name="MarginVolts">Of the gate with it, all other tubes as chosen.</param>
public sealed record SpareTubeView(string Number, double MarginVolts);

/// <param name="Remedy">What would let it be considered.</param>
public sealed record ChoiceLeftOutView(string Number, string Why, string Remedy);

/// <summary>What could stand in for each tube of a gate, all others staying.</summary>
/// <param name="MarginVolts">Of the gate as it is; 0 when a row is wrong.</param>
/// <param name="Places">One a place, the best spare first; without any where none keeps every row right.</param>
/// <param name="LookedAt">Free tubes there are to choose from.</param>
/// <param name="NotSwept">Tubes that were left out because no whole sweep gives a model of them.</param>
public sealed record GateSparesView(string Gate, double MarginVolts, PlaceSparesView[] Places, int LookedAt, string[] NotSwept, string[] Remarks);
