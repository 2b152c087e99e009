namespace SweepRig.Logic.Building;

/// <summary>A place and a row at which a meter may read.</summary>
internal readonly record struct ReadingPoint(string Node, string Row, double MeterOhms);

/// <summary>What a fault would show at every point.</summary>
/// <param name="Volts">One a point; NaN where it does not come to rest.</param>
/// <param name="Follows">By point: change by one standard deviation of each factor.</param>
internal sealed record FaultPrediction(BuildFault Fault, double[] Volts, float[][] Follows);

/// <summary>Every fault solved at every point: what readings are held against.</summary>
internal sealed class FaultDictionary
{
    private FaultDictionary(IReadOnlyList<ReadingPoint> points, IReadOnlyList<FaultPrediction> faults, BuildTolerances tolerances) => (Points, Faults, Tolerances) = (points, faults, tolerances);

    public IReadOnlyList<ReadingPoint> Points { get; }

    public IReadOnlyList<FaultPrediction> Faults { get; }

    public BuildTolerances Tolerances { get; }

    public static FaultDictionary Of(BuildPlan plan, IReadOnlyList<BuildFault> faults, IReadOnlyList<ReadingPoint> points, BuildTolerances tolerances, CancellationToken cancel = default)
    {
        var predictions = new FaultPrediction[faults.Count];
        Parallel.For(0, faults.Count, new ParallelOptions { CancellationToken = cancel }, f => predictions[f] = Predict(plan, faults[f], points, tolerances));
        return new(points, predictions, tolerances);
    }

    private static FaultPrediction Predict(BuildPlan plan, BuildFault fault, IReadOnlyList<ReadingPoint> points, BuildTolerances tolerances)
    {
        var bench = new BuildBench(fault.Apply(plan.Network));
        var factors = new BuildFactors(bench, tolerances);
        var (volts, follows) = (new double[points.Count], new float[points.Count][]);
        Array.Fill(volts, double.NaN);
        for (var p = 0; p < follows.Length; p++) follows[p] = [];
        foreach (var row in plan.Rows)
        {
            var mine = Enumerable.Range(0, points.Count).Where(p => points[p].Row == row.Name).ToList();
            if (mine.Count == 0 || !bench.Set(row)) continue;
            var moved = factors.Follow(row);
            foreach (var p in mine)
            {
                var node = bench.Values.Circuit.NodeOf(points[p].Node);
                follows[p] = [.. moved.Select(m => m[node])];
                volts[p] = bench.Read(points[p].Node, points[p].MeterOhms);
            }
        }
        return new(fault, volts, follows);
    }

    /// <summary>Standard deviation of a reading at a point under a fault.</summary>
    public double Deviation(FaultPrediction fault, int point)
    {
        var meter = Tolerances.Meter(fault.Volts[point]);
        return Math.Sqrt(fault.Follows[point].Sum(f => (double)f * f) + meter * meter);
    }
}
