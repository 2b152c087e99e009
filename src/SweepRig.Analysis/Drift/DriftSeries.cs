using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Drift;

/// <summary>One measurement of a quantity of a tube, among those before it.</summary>
/// <param name="Value">With its uncertainty, where it has one.</param>
/// <param name="Change">From the first measurement, with the uncertainty of the difference; null for the first.</param>
/// <param name="BeyondUncertainty">Change over the expanded uncertainty of the difference; beyond 1 either way it cannot be put down to the measurement. Null where an uncertainty is missing.</param>
public sealed record DriftPoint(Figure Value, Figure? Change, double? BeyondUncertainty)
{
    /// <summary>True when the tube has changed by more than the measurements can be wrong.</summary>
    public bool HasChanged => Math.Abs(BeyondUncertainty ?? 0) > 1;
}

/// <summary>The same quantity of the same tube measured again and again: its changes, and control charts where there are enough.</summary>
/// <param name="Points">In the order measured.</param>
/// <param name="Individuals">Null for fewer than 2 measurements.</param>
/// <param name="Averages">Null as above, and where all measurements so far are equal.</param>
public sealed record DriftSeries(IReadOnlyList<DriftPoint> Points, IndividualsChart? Individuals, WeightedAverageChart? Averages)
{
    /// <summary>Measurements below which limits made from them are a first guess only: 20 to 25 are usual (common practice in quality control, no source).</summary>
    public const int EnoughForLimits = 20;

    /// <summary>Measurements that centre and limits are made from.</summary>
    public int Baseline { get; init; }

    // Mean moving range of two values over their standard deviation, d2 (NIST/SEMATECH e-Handbook, 6.3.2.2).
    private const double RangeOverDeviation = 1.128;

    /// <param name="values">In the order measured, 1 or more, each with a value and all in one unit.</param>
    /// <param name="weight">Of the newest value in the average, above 0 up to 1.</param>
    /// <param name="baseline">Centre and limits are made from so many of the first, as of a tube that was known to be at rest then; null for all. More than there are counts as all.</param>
    /// <remarks>
    /// A change is held against the expanded uncertainties of both ends, root of the sum of squares, as the E_n score of ISO 13528 is (from memory). What both measurements have in
    /// common, such as the calibration, counts twice in this: a change that is flagged is one, one that is not may be one.
    /// </remarks>
    /// <exception cref="ArgumentException">There is no value, one is missing, or units differ.</exception>
    public static DriftSeries Of(IReadOnlyList<Figure> values, double weight = 0.3, int? baseline = null)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count == 0) throw new ArgumentException("There is no measurement; give 1 or more.", nameof(values));
        if (values.Any(v => v.Value is null)) throw new ArgumentException("A measurement has no value; leave it out.", nameof(values));
        if (values.Any(v => v.Unit != values[0].Unit)) throw new ArgumentException("The measurements have different units.", nameof(values));
        DriftPoint[] points = [.. values.Select((v, i) => i == 0 ? new(v, null, null) : Point(values[0], v))];
        if (values.Count < 2) return new(points, null, null) { Baseline = values.Count };
        double[] numbers = [.. values.Select(v => v.Value!.Value)];
        var chart = IndividualsChart.Of(numbers, baseline is { } first ? Math.Min(first, numbers.Length) : null);
        var deviation = chart.MeanRange / RangeOverDeviation;
        return new(points, chart, deviation > 0 ? WeightedAverageChart.Of(numbers, chart.Centre, deviation, weight) : null) { Baseline = Math.Min(baseline ?? int.MaxValue, numbers.Length) };
    }

    private static DriftPoint Point(Figure first, Figure now)
    {
        var change = Likeness.Difference(now, first);
        return new(now, change, change.ExpandedUncertainty is > 0 and var expanded ? change.Value!.Value / expanded : null);
    }
}
