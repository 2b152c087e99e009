namespace SweepRig.Logic.Solving;

/// <summary>A balance of a network and whether it stays there.</summary>
/// <param name="Point">The balance.</param>
/// <param name="IsStable">Every small disturbance dies away, with the capacitances of the network.</param>
/// <param name="SlowestSeconds">Longest time constant of a small disturbance, by magnitude. Unit: s.</param>
public sealed record NetworkState(OperatingPoint Point, bool IsStable, double SlowestSeconds);

/// <summary>All balances of a network that were found.</summary>
/// <param name="All">Stable ones first, then by the voltages of the first node in which they differ.</param>
/// <param name="SignSum">Sum of the signs of the determinants. It is 1 when none is missing; any other value says that at least one is.</param>
/// <remarks>
/// Far out every resistor pulls back, so that the map of the equations has degree 1 and the signs of all its zeros add up to 1 (Brouwer; Milnor 1965, Topology from the
/// Differentiable Viewpoint, from memory). The sum cannot show a missing pair of opposite signs.
/// </remarks>
public sealed record NetworkStates(IReadOnlyList<NetworkState> All, int SignSum)
{
    public IReadOnlyList<NetworkState> Stable => [.. All.Where(s => s.IsStable)];

    /// <summary>False when a state is known to be missing.</summary>
    public bool AddsUp => SignSum == 1;
}
