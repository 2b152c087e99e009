using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Maps;

/// <summary>Checks a network at every pair of supplies of a grid, then follows the limit between good and bad points: marginal checking, as the builders of tube computers did it on their supplies.</summary>
public sealed class MarginMapper
{
    private const double LeastLimit = 0.01, LinePrecision = 0.005;
    private const int Halvings = 7, MostPoints = 10_000, Looks = 12;

    private readonly MapOrder _order;
    private readonly IProgress<double>? _progress;
    private readonly CancellationToken _cancel;
    private int _checks;

    private MarginMapper(MapOrder order, IProgress<double>? progress, CancellationToken cancel) => (_order, _progress, _cancel) = (order, progress, cancel);

    /// <param name="progress">Share that is done, 0 to 1, from several threads.</param>
    /// <returns>Refused for axes that cannot be.</returns>
    public static Outcome<MarginMap> Run(MapOrder order, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(order);
        var faults = Faults(order);
        return faults.Count > 0 ? Outcome<MarginMap>.Refuse(faults) : Outcome<MarginMap>.Accept(new MarginMapper(order, progress, cancel).Map());
    }

    private MarginMap Map()
    {
        var (rails, others) = (_order.Rails, _order.Others);
        var margins = new double[others.Count][];
        for (var o = 0; o < margins.Length; o++) margins[o] = new double[rails.Count];
        Each(rails.Count * others.Count, 0, 0.6, n => margins[n / rails.Count][n % rails.Count] = Margin(new(rails[n % rails.Count], others[n / rails.Count])));
        var limit = Limit(margins);
        var at = new MapPoint(_order.Network.Rails.Plate, _order.Against == MapSupply.Bias ? _order.Network.Rails.Bias : _order.Network.Rails.Screen ?? _order.Network.Rails.Plate);
        var margin = Margin(at);
        var room = margin < _order.LimitVolts ? null : Room(at, limit);
        _progress?.Report(1);
        return new(_order, margins, limit, at, margin, room, _checks);
    }

    private List<(MapPoint From, MapPoint To)> Limit(double[][] margins)
    {
        var (rails, others) = (_order.Rails, _order.Others);
        bool Good(int r, int o) => margins[o][r] >= _order.LimitVolts;
        MapPoint Point(int r, int o) => new(rails[r], others[o]);
        var edges = new List<((int R, int O) From, (int R, int O) To)>();
        for (var o = 0; o < others.Count; o++)
        {
            for (var r = 0; r < rails.Count; r++)
            {
                if (r + 1 < rails.Count && Good(r, o) != Good(r + 1, o)) edges.Add(((r, o), (r + 1, o)));
                if (o + 1 < others.Count && Good(r, o) != Good(r, o + 1)) edges.Add(((r, o), (r, o + 1)));
            }
        }
        var crossings = new MapPoint[edges.Count];
        Each(edges.Count, 0.6, 0.35, e =>
        {
            var ((r, o), (toR, toO)) = edges[e];
            crossings[e] = Good(r, o) ? Cross(Point(r, o), Point(toR, toO)) : Cross(Point(toR, toO), Point(r, o));
        });
        var at = edges.Select((edge, e) => (edge, e)).ToDictionary(e => e.edge, e => crossings[e.e]);
        var pieces = new List<(MapPoint From, MapPoint To)>();
        for (var o = 0; o + 1 < others.Count; o++)
        {
            for (var r = 0; r + 1 < rails.Count; r++)
            {
                // Around the cell: below, right, above, left.
                var crossed = new[] { ((r, o), (r + 1, o)), ((r + 1, o), (r + 1, o + 1)), ((r, o + 1), (r + 1, o + 1)), ((r, o), (r, o + 1)) }
                    .Where(at.ContainsKey).Select(e => at[e]).ToList();
                if (crossed.Count == 2) pieces.Add((crossed[0], crossed[1]));
                if (crossed.Count != 4) continue;
                // Two corners good, two bad, crosswise: the middle says which of them hang together.
                var middle = Margin(new(0.5 * (rails[r] + rails[r + 1]), 0.5 * (others[o] + others[o + 1]))) >= _order.LimitVolts;
                var turn = middle == Good(r, o) ? 0 : 1;
                pieces.Add((crossed[turn], crossed[turn + 1]));
                pieces.Add((crossed[turn + 2], crossed[(turn + 3) % 4]));
            }
        }
        return pieces;
    }

    private MapPoint Cross(MapPoint good, MapPoint bad)
    {
        for (var n = 0; n < Halvings; n++)
        {
            var middle = new MapPoint(0.5 * (good.Rail + bad.Rail), 0.5 * (good.Other + bad.Other));
            if (Margin(middle) >= _order.LimitVolts) good = middle;
            else bad = middle;
        }
        return good;
    }

    private MapRoom Room(MapPoint at, List<(MapPoint From, MapPoint To)> limit)
    {
        var (rails, others) = (_order.Rails, _order.Others);
        MapPoint? best = null;
        var share = double.PositiveInfinity;
        foreach (var (from, to) in limit)
        {
            // Along the piece in shares of the supplies.
            double X(MapPoint p) => (p.Rail - at.Rail) / at.Rail;
            double Y(MapPoint p) => (p.Other - at.Other) / Math.Abs(at.Other);
            double dx = X(to) - X(from), dy = Y(to) - Y(from), length = dx * dx + dy * dy;
            var t = length == 0 ? 0 : Math.Clamp(-(X(from) * dx + Y(from) * dy) / length, 0, 1);
            var near = new MapPoint(from.Rail + t * (to.Rail - from.Rail), from.Other + t * (to.Other - from.Other));
            var distance = Math.Sqrt(X(near) * X(near) + Y(near) * Y(near));
            if (distance < share) (best, share) = (near, distance);
        }
        return new(
            Along(at, at with { Rail = rails[0] })?.Rail, Along(at, at with { Rail = rails[^1] })?.Rail, Along(at, at with { Other = others[0] })?.Other, Along(at, at with { Other = others[^1] })?.Other,
            best, best is null ? null : share);
    }

    // The last good point on the way to the edge of the map, or null when all of it is good.
    private MapPoint? Along(MapPoint from, MapPoint to)
    {
        var good = from;
        for (var n = 1; n <= Looks; n++)
        {
            var next = new MapPoint(from.Rail + (to.Rail - from.Rail) * n / Looks, from.Other + (to.Other - from.Other) * n / Looks);
            if (Margin(next) >= _order.LimitVolts)
            {
                good = next;
                continue;
            }
            while (Math.Abs(next.Rail - good.Rail) + Math.Abs(next.Other - good.Other) > LinePrecision)
            {
                var middle = new MapPoint(0.5 * (good.Rail + next.Rail), 0.5 * (good.Other + next.Other));
                if (Margin(middle) >= _order.LimitVolts) good = middle;
                else next = middle;
            }
            return good;
        }
        return null;
    }

    private double Margin(MapPoint at)
    {
        _cancel.ThrowIfCancellationRequested();
        Interlocked.Increment(ref _checks);
        var rails = _order.Network.Rails with { Plate = at.Rail };
        rails = _order.Against == MapSupply.Bias ? rails with { Bias = at.Other } : rails with { Screen = at.Other };
        return NetworkChecker.Check(_order.Network with { Rails = rails }, _order.Tube, _cancel).Value?.WorstMarginVolts ?? 0;
    }

    private void Each(int count, double from, double share, Action<int> act)
    {
        var done = 0;
        Parallel.For(0, count, new ParallelOptions { CancellationToken = _cancel }, n =>
        {
            act(n);
            _progress?.Report(from + share * Interlocked.Increment(ref done) / count);
        });
    }

    private static List<Refusal> Faults(MapOrder order)
    {
        List<Refusal> faults = [];
        Axis(order.Rails, "/rails", "plate rails");
        Axis(order.Others, "/others", order.Against == MapSupply.Bias ? "bias rails" : "screen supplies");
        if (!(order.LimitVolts >= LeastLimit))
            faults.Add(new("limit-too-small", "/limitVolts", $"a limit of {Engineering.Format(order.LimitVolts, "V")}", $"{Engineering.Format(LeastLimit, "V")} at least: margins are found to a millivolt", "Raise the limit."));
        if (faults.Count > 0) return faults;
        var (rails, others) = (order.Network.Rails, order.Others);
        if (order.Rails.Count * others.Count > MostPoints)
            faults.Add(new("map-too-large", "/rails", $"{order.Rails.Count} by {others.Count} points", $"at most {MostPoints} points", "Take wider steps; the limit is followed between them anyway."));
        if (order.Rails[0] <= 0) faults.Add(new("rail-not-positive", "/rails", $"a plate rail of {order.Rails[0]:0.###} V", "plate rails are above 0 V", "Begin higher."));
        var bias = order.Against == MapSupply.Bias ? others[0] : rails.Bias;
        var top = order.Against == MapSupply.Screen ? Math.Max(order.Rails[^1], others[^1]) : Math.Max(order.Rails[^1], rails.Screen ?? 0);
        if (Math.Max(top, 0) - Math.Min(bias, 0) > ExtraLowVoltage.Limit.Value)
            faults.Add(new("rail-too-high", "/rails", $"{top:0.###} V and a bias of {bias:0.###} V are {top - bias:0.###} V apart", $"at most {ExtraLowVoltage.Limit} is allowed anywhere: extra-low voltage", "End lower."));
        if (order.Against == MapSupply.Screen && !GateWiring.TakesScreenRail(order.Network))
            faults.Add(new("no-screens", "", $"no stage of {order.Network.Name} has a screen that a supply feeds", "the map moves the supply of the screens", "Map the bias rail instead, or take the pentode connection."));
        if (order.Against == MapSupply.Screen && others[0] <= 0) faults.Add(new("screen-not-positive", "/others", $"a screen supply of {others[0]:0.###} V", "screen supplies are above 0 V", "Begin higher."));
        return faults;

        void Axis(IReadOnlyList<double> axis, string path, string what)
        {
            if (axis.Count < 2 || axis.Any(v => !double.IsFinite(v)) || axis.Zip(axis.Skip(1)).Any(p => p.Second <= p.First))
                faults.Add(new("axis-not-rising", path, $"{axis.Count} {what}: {string.Join(", ", axis.Take(6))}", "two at least, each above the one before", "Write them rising."));
        }
    }
}
