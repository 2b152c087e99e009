using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Maps;

/// <summary>What is moved beside the plate rail.</summary>
public enum MapSupply
{
    /// <summary>The supply of the screens, taken to be one of their own.</summary>
    Screen,

    /// <summary>The bias rail.</summary>
    Bias,
}

/// <summary>What is mapped.</summary>
/// <param name="Tube">For each place of the network.</param>
/// <param name="Rails">Plate rails, rising, two at least. Unit: V.</param>
/// <param name="Others">Voltages of the other supply, rising, two at least. Unit: V.</param>
/// <param name="LimitVolts">Margin below which it counts as not working; 0.01 V at least, for margins are found to a millivolt.</param>
public sealed record MapOrder(GateNetwork Network, Func<string, TubePart> Tube, MapSupply Against, IReadOnlyList<double> Rails, IReadOnlyList<double> Others, double LimitVolts = 0.1);

/// <summary>A point of a map. Unit: V.</summary>
public readonly record struct MapPoint(double Rail, double Other);

/// <summary>How far the supplies may go before the margin falls below the limit. Null where it does not within the map. Unit: V.</summary>
/// <param name="RailDown">Lowest plate rail that still works, the other supply as it is.</param>
/// <param name="RailUp">Highest.</param>
/// <param name="OtherDown">Lowest of the other supply, the plate rail as it is.</param>
/// <param name="OtherUp">Highest.</param>
/// <param name="Nearest">The nearest place of the limit, both moved, each counted as a share of what it is.</param>
/// <param name="NearestShare">How far that is; 0.1 is a tenth of both supplies together (root of the sum of squares).</param>
public sealed record MapRoom(double? RailDown, double? RailUp, double? OtherDown, double? OtherUp, MapPoint? Nearest, double? NearestShare);

/// <summary>Where a network stops working.</summary>
/// <param name="Margins">Worst margin by other supply, then by rail; 0 where it does not work at all. Unit: V.</param>
/// <param name="Limit">Pieces of the line on which the margin is the limit; each end lies within a hundredth of a step of the grid.</param>
/// <param name="At">Where the network is meant to work.</param>
/// <param name="AtMargin">Its margin there.</param>
/// <param name="Room">Null when it does not work there.</param>
/// <param name="Checks">Networks that were checked.</param>
public sealed record MarginMap(
    MapOrder Order, IReadOnlyList<IReadOnlyList<double>> Margins, IReadOnlyList<(MapPoint From, MapPoint To)> Limit, MapPoint At, double AtMargin, MapRoom? Room, int Checks);
