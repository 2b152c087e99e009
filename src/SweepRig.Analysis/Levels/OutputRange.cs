using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>Highest and lowest output, and the fold-back after the lowest.</summary>
internal static class OutputRange
{
    /// <summary>A rise counts from so many of its own standard uncertainties on.</summary>
    private const double Significance = 3;

    public static Figure Highest(CurveReading reading)
    {
        var (at, output, _) = Extreme.Of(reading.Output, static value => value);
        return reading.OutputNear(at, output, AtEdge(reading, at, +1));
    }

    public static Figure Lowest(CurveReading reading)
    {
        var (at, output, _) = Extreme.Of(reading.Output, static value => -value);
        return reading.OutputNear(at, output, AtEdge(reading, at, -1));
    }

    public static (Figure Depth, Figure Drive) FoldBack(CurveReading reading)
    {
        var output = reading.Output;
        var trace = reading.Trace;
        var end = trace.Count - 1;
        var (lowest, floor, level) = Extreme.Of(output, static value => -value);
        var last = output.Value(end);
        var rise = new Estimate(last.Value - floor.Value, Smoother.Hypot(last.Sigma, floor.Sigma), floor.First, last.Last);
        var combined = Smoother.Hypot(rise.Sigma, rise.Value * reading.PlateGainUncertainty);
        var least = Math.Max(Significance * combined, reading.Options.FoldBackFloorVolts);
        // Measured from the level of all that may be the lowest: the luckiest low must not make a rise of noise.
        if (lowest == end || last.Value - level <= least || !Rises(output, lowest, end))
        {
            var because = $"none: up to {CurveReading.Volts(trace.X[end])} of drive the output does not rise again by more than {CurveReading.Volts(least)}";
            return (Figure.None("V", because), Figure.None("V", because));
        }
        var mark = trace.MissingAtEnd > 0 ? $"the last {trace.MissingAtEnd} points of the drive are missing" : null;
        return (reading.OutputDifference(rise with { First = last.First }, mark), DriveAtLowest(reading, lowest));
    }

    /// <summary>True if a straight line from the lowest to the end goes up by more than the noise: one lucky end does not make it.</summary>
    private static bool Rises(Smoother output, int lowest, int end)
    {
        if (LocalPolynomial.Fit(output.Trace, lowest, end, output.Trace.X[lowest], 1) is not { } line) return false;
        var (slope, variance) = line.Derivative(1, line.Centre);
        return slope > Significance * Math.Sqrt(variance) * output.NoiseAt(end);
    }

    private static Figure DriveAtLowest(CurveReading reading, int lowest)
    {
        var output = reading.Output;
        var trace = reading.Trace;
        var noise = output.NoiseAt(lowest);
        // Anywhere that cannot be told from the lowest. Rectangular, GUM 4.3.7.
        var (first, last) = Extreme.Alike(output, lowest);
        var (segmentFirst, segmentLast) = trace.Segment(lowest);
        var (left, right) = (trace.X[Math.Max(segmentFirst, first - 1)], trace.X[Math.Min(segmentLast, last + 1)]);
        var vertex = output.At(lowest, trace.X[lowest], 2, (fit, _) => fit.Where(1, 0, +1, noise, 0));
        var place = vertex.BiasRemoved && vertex.Value >= left && vertex.Value <= right ? vertex.Value : (left + right) / 2;
        return reading.Drive(new(place, (right - left) / Math.Sqrt(12), first, last), BesideGap(trace, lowest));
    }

    private static string? AtEdge(CurveReading reading, int at, int sign)
    {
        var trace = reading.Trace;
        if (BesideGap(trace, at) is { } gap) return gap;
        if (at != 0 && at != trace.Count - 1) return null;
        var slope = reading.Output.Slope(at);
        var outwards = at == 0 ? -slope.Value : slope.Value;
        return slope.Exists && sign * outwards > 3 * slope.Sigma && Math.Abs(slope.Value) > 1e-9
            ? $"at the {(at == 0 ? "lowest" : "highest")} drive measured, where the output is still {(sign < 0 ? "falling" : "rising")}"
            : null;
    }

    private static string? BesideGap(Trace trace, int at)
    {
        var (first, last) = trace.Segment(at);
        return (at == first && first > 0) || (at == last && last < trace.Count - 1) ? "next to missing points" : null;
    }
}
