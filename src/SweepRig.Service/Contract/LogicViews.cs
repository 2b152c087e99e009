namespace SweepRig.Service.Contract;

/// <summary>What can be asked about, and what is taken where nothing else is said.</summary>
/// <param name="MostRailVolts">Most between any two rails.</param>
public sealed record GateListView(GateKindView[] Gates, GateRailsView Rails, GateValuesView Values, StageLimitsView Limits, OhmRangeView Plate, OhmRangeView Divider, TolerancesView Tolerances, double MostRailVolts);

/// <summary>A gate, or some wired together.</summary>
/// <param name="Name">Its word.</param>
/// <param name="Says">In one line.</param>
/// <param name="Positions">Places of its tubes.</param>
/// <param name="Stores">It feeds back on itself and has several states for the same inputs.</param>
/// <param name="Loop">Places of the tubes through which it holds itself, in the order of <paramref name="Positions"/>; empty where it stores nothing.</param>
/// <param name="Values">With which it is right on the usual rails: taken where a request has none.</param>
public sealed record GateKindView(string Name, string Says, string[] Inputs, string[] Outputs, string[] Positions, bool Stores, string[] Loop, GateValuesView Values);

/// <summary>How far long work has come.</summary>
/// <param name="Doing">In a few words.</param>
public sealed record LogicWorkView(string Doing, int Done, int Of);

/// <summary>Tubes of the stock as circuits are reckoned with them.</summary>
/// <param name="InStock">Tubes that are not retired.</param>
/// <param name="Swept">Those of them that have a whole sweep.</param>
public sealed record LogicTubesView(LogicTubeView[] Tubes, int InStock, int Swept);

/// <param name="Connections">In which it was swept; empty when never.</param>
/// <param name="InUseAt">Circuit and position, while in use.</param>
public sealed record LogicTubeView(string Number, string Lot, string? Type, string[] Connections, string? InUseAt);

/// <summary>What stages do with any of some tubes in them.</summary>
/// <param name="InputVolts">At which the curves are given.</param>
/// <param name="Curves">The transfer curve with each tube, through its own coupling and with what it feeds connected.</param>
/// <param name="LowestVolts">The lowest output of any of the tubes at each input.</param>
/// <param name="HighestVolts">The highest.</param>
/// <param name="Levels">What any of the tubes restores for any other.</param>
/// <param name="Margins">That every stage has, whichever of the tubes stand in it and around it.</param>
/// <param name="Burden">The worst of all tubes and inputs.</param>
/// <param name="Low">The stage at rest with its input low: the tube that takes most.</param>
/// <param name="High">With its input high.</param>
/// <param name="NotSwept">Tubes that were left out because they have no whole sweep.</param>
/// <param name="Remarks">What must be known beside the figures.</param>
public sealed record StageView(
    double[] InputVolts, StageCurveView[] Curves, double[] LowestVolts, double[] HighestVolts, StageLevelsView Levels, StageMarginsView Margins, StageBurdenView Burden,
    StageRestView? Low, StageRestView? High, string[] NotSwept, string[] Remarks);

/// <param name="Tube">Its number; null for the example tube.</param>
/// <param name="Margin">Of a long chain of stages with tubes like this one. Unit: V.</param>
/// <param name="Marked">Why its figures lean on more than its sweeps have shown; null when they do not.</param>
public sealed record StageCurveView(string? Tube, double[] OutputVolts, double LowVolts, double HighVolts, double? InputLowVolts, double? InputHighVolts, double Margin, string? Marked);

/// <summary>Levels at the inputs.</summary>
/// <param name="Restores">There are two levels apart that a long chain of stages comes back to.</param>
/// <param name="LowVolts">Highest low.</param>
/// <param name="HighVolts">Lowest high.</param>
/// <param name="ThresholdVolts">Where a chain stands on its edge; null when it restores none.</param>
/// <param name="LoopGain">Of two stages there.</param>
public sealed record StageLevelsView(bool Restores, double LowVolts, double HighVolts, double? ThresholdVolts, double LoopGain);

/// <summary>Margins. Unit: V.</summary>
/// <param name="InputLow">VIL of the worst tube: below it a disturbance comes out smaller; null with the reason in <paramref name="Says"/>.</param>
/// <param name="InputHigh">VIH of the worst.</param>
/// <param name="Low">VIL less the highest low level.</param>
/// <param name="High">The lowest high level less VIH.</param>
/// <param name="Square">Side of the largest square in the eye of the loop plot: the voltage that can stand adversely in series with every input at once.</param>
/// <param name="SquareInput">Its lower left corner: input of the one stage.</param>
/// <param name="SquareOutput">And of the other.</param>
public sealed record StageMarginsView(double? InputLow, double? InputHigh, double? Low, double? High, double Square, double SquareInput, double SquareOutput, string? Says);

/// <param name="GridAmperes">At an input of the rail voltage.</param>
public sealed record StageBurdenView(double GridAmperes, double PlateWatts, double ScreenWatts, double CathodeAmperes, double ResistorWatts);

/// <summary>A stage at rest.</summary>
/// <param name="InputVolts">What it is driven with.</param>
/// <param name="OutputVolts">What it gives.</param>
/// <param name="InputAmperes">What its input draws from what drives it.</param>
/// <param name="SupplyWatts">What both rails give to the stage and the dividers that it feeds.</param>
/// <param name="HeaterWatts">Null when the heater current of the type is not known.</param>
public sealed record StageRestView(double InputVolts, double OutputVolts, double InputAmperes, double SupplyWatts, double? HeaterWatts);

/// <summary>The resistors with the greatest margin.</summary>
/// <param name="MarginVolts">That every stage has with any of the tubes and all resistors within their tolerance.</param>
/// <param name="LowVolts">Highest low level.</param>
/// <param name="HighVolts">Lowest high level.</param>
/// <param name="Binding">What kept better values out, the most first.</param>
/// <param name="Tubes">How many were held to it.</param>
/// <param name="Looked">Combinations of values.</param>
/// <param name="Solved">Stages swept.</param>
public sealed record SearchView(
    GateValuesView Values, double MarginVolts, double LowVolts, double HighVolts, StageBurdenView Burden, BindingView[] Binding, int Tubes, int Looked, long Solved, string[] NotSwept, string[] Remarks);

/// <param name="What">The limit.</param>
/// <param name="MarginVolts">Of the best values that it kept out; null where that was not looked at.</param>
/// <param name="Says">For people.</param>
public sealed record BindingView(string What, double? MarginVolts, string Says);

/// <summary>The table of a gate in volts.</summary>
/// <param name="LowVolts">Stands for low at the inputs.</param>
/// <param name="HighVolts">Stands for high.</param>
/// <param name="Right">Every signal of every row is on its side of the threshold.</param>
/// <param name="MarginVolts">The least of all rows.</param>
/// <param name="Signals">Names, in the order of each row.</param>
/// <param name="Tubes">What stands where.</param>
/// <param name="SupplyWatts">The most that both rails give in any row; null when a row does not come to rest.</param>
/// <param name="HeaterWatts">Of all heaters; null when a heater current is not known.</param>
public sealed record CheckView(
    string Gate, double LowVolts, double HighVolts, double ThresholdVolts, bool Right, double MarginVolts, string[] Inputs, string[] Signals, string[] Outputs, CheckRowView[] Rows,
    PlacedTubeView[] Tubes, double? SupplyWatts, double? HeaterWatts, string[] Remarks);

/// <param name="Inputs">High or low.</param>
/// <param name="Wanted">What each signal is to be.</param>
/// <param name="Volts">What it is; null when the row does not come to rest.</param>
/// <param name="MarginVolts">Voltage that can stand adversely in series with every input of every gate at once.</param>
/// <param name="FirstToFail">The signal that goes first beyond that.</param>
public sealed record CheckRowView(bool[] Inputs, bool[] Wanted, double[]? Volts, bool Right, double MarginVolts, string? FirstToFail);

/// <param name="Number">Null for an example tube.</param>
public sealed record PlacedTubeView(string Position, string? Number, string? Type);

/// <summary>How many of many built gates are right.</summary>
/// <param name="Share">Good of all trials.</param>
/// <param name="Low">Lower end of the 95 % interval of the yield.</param>
/// <param name="High">Upper end.</param>
/// <param name="Distances">Worst distance from the threshold of each trial, as a histogram. Unit: V; below 0 a signal is wrong.</param>
/// <param name="Weights">What the spread comes from, the heaviest first.</param>
/// <param name="CornerVolts">The worst distance with every part at its adverse end, tubes at two standard deviations; below 0 it says that a row is wrong there, not by how little.</param>
/// <param name="CornerReach">How far of the way from nominal to that corner every row is right; 1 for all of it.</param>
/// <param name="CornerSays">What that means, for people.</param>
public sealed record YieldView(
    string Gate, int Trials, int Good, double Share, double Low, double High, HistogramView Distances, double LeastDistance, double MedianDistance, YieldWeightView[] Weights, double CornerVolts, double CornerReach, string CornerSays,
    long Solutions, string[] Remarks);

/// <param name="Share">Of the variance of the worst distance. 0 to 1.</param>
/// <param name="MoreIsBetter">More of it makes the distance larger.</param>
public sealed record YieldWeightView(string Part, double Share, bool MoreIsBetter);

/// <summary>Pairs of tubes behind each other, the best first.</summary>
/// <param name="LookedAt">Pairs there are.</param>
/// <param name="Bistable">Those of them that hold two states.</param>
public sealed record BistablePairsView(BistablePairView[] Pairs, int LookedAt, int Bistable, string[] NotSwept, string[] Remarks);

/// <param name="MarginVolts">The smaller of the two largest squares of their loop.</param>
/// <param name="LowVolts">Lower level at the input of the first.</param>
/// <param name="HighVolts">Higher one.</param>
public sealed record BistablePairView(string First, string Second, double MarginVolts, double LowVolts, double HighVolts);
