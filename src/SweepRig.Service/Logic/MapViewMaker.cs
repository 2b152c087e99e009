using SweepRig.Domain.Quantities;
using SweepRig.Logic.Maps;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>A margin map, as REST and command line give it.</summary>
internal static class MapViewMaker
{
    public static MapView Of(MarginMap map, IEnumerable<string> remarks)
    {
        var bias = map.Order.Against == MapSupply.Bias;
        var room = map.Room is { } r ? new MapRoomView(r.RailDown, r.RailUp, r.OtherDown, r.OtherUp, r.Nearest is { } near ? Point(near) : null, r.NearestShare) : null;
        return new(
            map.Order.Network.Name, bias ? "bias" : "screen", [.. map.Order.Rails], [.. map.Order.Others], [.. map.Margins.Select(m => (double[])[.. m])],
            [.. map.Limit.Select(p => new MapPieceView(Point(p.From), Point(p.To)))], map.Order.LimitVolts, Point(map.At), map.AtMargin, room, map.Checks,
            [.. Says(map, bias ? "bias rail" : "supply of the screens")], [.. remarks]);
    }

    private static IEnumerable<string> Says(MarginMap map, string other)
    {
        var where = $"plate rail {V(map.At.Rail)} and {other} {V(map.At.Other)}";
        if (map.Room is not { } room)
        {
            yield return $"With {where} it does not work: the margin is {V(map.AtMargin)}, and {V(map.Order.LimitVolts)} is wanted.";
            yield break;
        }
        yield return $"With {where} the margin is {V(map.AtMargin)}.";
        yield return $"Alone, the plate rail may be {Between(room.RailDown, room.RailUp, map.Order.Rails)}, the {other} {Between(room.OtherDown, room.OtherUp, map.Order.Others)}, until the margin is {V(map.Order.LimitVolts)}.";
        if (room is { Nearest: { } near, NearestShare: { } share })
            yield return $"Both together reach that soonest at {V(near.Rail)} and {V(near.Other)}, {Engineering.Figure(100 * share, "%", 2)} off.";
        else yield return "Nowhere on the map is it less.";
    }

    private static string Between(double? down, double? up, IReadOnlyList<double> side) =>
        $"{(down is { } d ? V(d) : $"{V(side[0])} (where the map ends)")} to {(up is { } u ? V(u) : $"{V(side[^1])} (where the map ends)")}";

    private static MapPointView Point(MapPoint point) => new(point.Rail, point.Other);

    private static string V(double volts) => Math.Abs(volts) < 5e-4 ? "0 V" : Engineering.Format(volts, "V", 3);
}
