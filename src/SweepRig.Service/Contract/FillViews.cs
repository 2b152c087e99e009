namespace SweepRig.Service.Contract;

/// <summary>Request: free tubes of the stock for the places of a gate that are still empty.</summary>
/// <param name="First">Numbers in the order in which they are tried; then the rest of the stock in the order of its numbers. Those that are in use or stand in the gate already are passed over.</param>
public sealed record FillRequest(string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, string[]? First = null)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>A gate whose places are filled as far as there are free tubes that a sweep tells the constants of.</summary>
/// <param name="Tubes">A number for each place in order; null where there was no tube left.</param>
/// <param name="LeftOut">Tubes that came up and have no constants, with the sweep that would tell them.</param>
/// <param name="Remarks">How many were left out, why, and what to do, for people.</param>
public sealed record GateFillView(string Gate, string?[] Tubes, ChoiceLeftOutView[] LeftOut, string[] Remarks);
