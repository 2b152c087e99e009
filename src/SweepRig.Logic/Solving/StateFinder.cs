namespace SweepRig.Logic.Solving;

/// <summary>Looks for every balance of a network: by letting it settle from every pattern of high and low plates, and by keeping away from those already found.</summary>
/// <remarks>
/// <para>Settling from a pattern finds the stable states as the network itself would. Between them lie unstable ones; they are found by Newton on the equations
/// divided by the distance to the known balances (deflation; Farrell, Birkisson, Funke 2015, SIAM J. Sci. Comput. 37, A2026, from memory).</para>
/// <para>What falls into blocks that share only sources is searched block by block: every state of one goes with every state of the others.</para>
/// <para>Networks of up to eight tubes are started from all patterns, larger ones from 256 spread evenly, and from those in which one tube differs from its neighbours.</para>
/// </remarks>
public sealed class StateFinder
{
    /// <summary>Tubes up to which every pattern of high and low plates is tried.</summary>
    public const int MostTubesInFull = 8;

    // States nearer than this are one: a thousand times what a balance is good to, far below what a bench can tell.
    private const double SameVolts = 1e-5;
    private const int DeflatedSteps = 200, FruitlessRounds = 2, PairedInFull = 12;

    // Of more, those with the most blocks at rest are given.
    private const int MostCombined = 1024;

    private readonly CircuitValues _values;
    private readonly DcSolver _solver;
    private readonly Settling _settling;
    private readonly double _seconds;
    private readonly List<NetworkState> _found = [];

    private StateFinder(CircuitValues values, double seconds)
    {
        _values = values;
        _solver = new(values);
        _settling = new(values);
        _seconds = seconds;
    }

    /// <param name="seconds">Moment at which the sources are taken.</param>
    public static NetworkStates Find(CircuitValues values, double seconds = 0, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(values);
        var finder = new StateFinder(values, seconds);
        finder.Search(cancel);
        var all = finder._found.OrderBy(s => s.IsStable ? 0 : 1).ThenBy(s => s, Comparer<NetworkState>.Create(ByVolts)).ToList();
        return new(all, all.Sum(s => s.Point.Sign));
    }

    private void Search(CancellationToken cancel)
    {
        var blocks = CircuitBlocks.Of(_values);
        if (blocks.Count > 1)
        {
            Combine([.. blocks.Select(b => Find(b, _seconds, cancel).All)]);
            return;
        }
        var starts = StartPatterns.Of(_values, _seconds);
        foreach (var start in starts)
        {
            cancel.ThrowIfCancellationRequested();
            if (_solver.TrySolve(start, _seconds)) Keep();
            if (_settling.Run(start, _seconds) && _solver.TrySolve(_settling.Volts, _seconds)) Keep();
        }
        if (_solver.TrySolve(_seconds)) Keep();
        for (int round = 1, fruitless = 0; fruitless < FruitlessRounds && _found.Count > 0; round++)
        {
            cancel.ThrowIfCancellationRequested();
            var before = _found.Count;
            // Between two stable states lies what parts them: the middle is the best start for it.
            double[][] known = [.. _found.Select(s => s.Point.Volts.ToArray())];
            foreach (var start in Middles(known, round).Concat(starts.Take(32)))
            {
                if (AddsUp() && _found.Count > before) break;
                if (Deflated(start)) Keep();
            }
            if (_found.Count == before) fruitless++;
        }
    }

    private void Combine(IReadOnlyList<NetworkState>[] blocks)
    {
        List<NetworkState[]> begun = [[]];
        foreach (var states in blocks) begun = [.. begun.SelectMany(b => states.Select(s => (NetworkState[])[.. b, s])).OrderBy(c => c.Count(s => !s.IsStable)).Take(MostCombined)];
        var start = new double[_values.Circuit.Nodes.Count];
        foreach (var states in begun)
        {
            foreach (var (circuit, volts) in states.Select(s => (s.Point.Circuit, s.Point.Volts)))
                for (var n = 0; n < volts.Count; n++) start[_values.Circuit.NodeOf(circuit.Nodes[n])] = volts[n];
            if (_solver.TrySolve(start, _seconds)) _found.Add(new(_solver.Point(), states.All(s => s.IsStable), states.Max(s => s.SlowestSeconds)));
        }
    }

    private bool AddsUp() => _found.Sum(s => s.Point.Sign) == 1;

    // All pairs of few; of many, each with another one in each round.
    private static IEnumerable<double[]> Middles(double[][] known, int round)
    {
        for (var a = 0; a < known.Length; a++)
        {
            for (var b = 0; b < a; b++)
                if (known.Length <= PairedInFull || a - b == round % known.Length) yield return [.. known[a].Zip(known[b], (x, y) => 0.5 * (x + y))];
        }
    }

    private bool Deflated(double[] start)
    {
        var newton = _solver.Newton;
        var rows = _values.Circuit.Pattern.RowOf;
        var known = _found.Select(s => s.Point.Volts).ToArray();
        newton.Bend = (at, step) =>
        {
            // d(log eta)/dv along the Newton step -step, with eta the product of 1/|v - r|^2 + 1 over the known balances r.
            var along = 0.0;
            var longest = 0.0;
            foreach (var volts in known)
            {
                double distance = 0, product = 0;
                for (var node = 1; node < rows.Length; node++)
                {
                    if (rows[node] >= at.Length) continue;
                    var apart = at[rows[node]] - volts[node];
                    distance += apart * apart;
                    product += apart * step[rows[node]];
                }
                if (distance > 0) along += 2 * product / (distance * (distance + 1));
            }
            for (var i = 0; i < step.Length; i++) longest = Math.Max(longest, Math.Abs(step[i]));
            var part = 1 / (1 - along);
            if (!double.IsFinite(part)) part = 1;
            // No node moves by more than some volts at once: the equations are far from straight.
            return Math.CopySign(Math.Min(Math.Abs(part), longest > 0 ? 4 / longest : 1), part);
        };
        try
        {
            start.CopyTo(newton.Equations.Volts.AsSpan());
            Array.Clear(newton.Equations.BranchAmps);
            if (!newton.Run(_seconds, 1, DeflatedSteps)) return false;
        }
        finally
        {
            newton.Bend = null;
        }
        return true;
    }

    private void Keep()
    {
        var point = _solver.Point();
        if (_found.Any(s => Same(s.Point, point))) return;
        var verdict = Stability.Of(_solver.Newton, _seconds);
        _found.Add(new(point, verdict.IsStable && point.Sign > 0, verdict.SlowestSeconds));
    }

    private static bool Same(OperatingPoint a, OperatingPoint b)
    {
        for (var n = 0; n < a.Volts.Count; n++)
            if (Math.Abs(a.Volts[n] - b.Volts[n]) > SameVolts) return false;
        return true;
    }

    private static int ByVolts(NetworkState? a, NetworkState? b)
    {
        for (var n = 0; n < a!.Point.Volts.Count; n++)
        {
            var difference = a.Point.Volts[n] - b!.Point.Volts[n];
            if (Math.Abs(difference) > SameVolts) return Math.Sign(difference);
        }
        return 0;
    }
}
