using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>The highest or lowest output.</summary>
/// <param name="Point">Nearest point.</param>
/// <param name="Drive">Its drive, where it is a turning point inside the sweep; none at an end.</param>
/// <param name="Output">The output there.</param>
internal readonly record struct Turning(int Point, Estimate Drive, Estimate Output);

/// <summary>
/// Highest and lowest output, and the fold-back after the lowest. The most extreme of many noisy readings is the luckiest one; so an end of the sweep counts, unless a place
/// inside is more extreme by more than the noise, and inside the turning point of the smoothed curve counts, with its bias taken off.
/// </summary>
internal static class OutputRange
{
    /// <summary>A rise counts from so many of its own standard uncertainties on.</summary>
    private const double Significance = 3;

    /// <summary>A turning point is known when its standard uncertainty is below this part of the half width of its window.</summary>
    private const double Determined = 0.35;

    private const int StifferDegree = 3;

    /// <param name="sign">+1 for the highest, -1 for the lowest.</param>
    public static Turning Extreme(CurveReading reading, int sign)
    {
        var output = reading.Output;
        var trace = reading.Trace;
        var values = reading.Pilot.Values;
        var most = 0;
        for (var i = 1; i < values.Length; i++)
        {
            if (sign * values[i] > sign * values[most]) most = i;
        }
        var inside = output.Value(most);
        // The off state lies at the lowest drives and the floor at the highest.
        int[] ends = sign > 0 ? [0, trace.Count - 1] : [trace.Count - 1, 0];
        foreach (var end in ends)
        {
            var there = output.Value(end);
            if (sign * (inside.Value - there.Value) <= 2.5 * Smoother.Hypot(inside.Sigma, there.Sigma) + 1e-9 * Math.Abs(there.Value)) return new(end, Estimate.None, there);
        }
        if (Turn(reading, Basin(reading, most), sign) is not { } turning || turning.ReadDrive() is not { Exists: true } drive) return new(most, Estimate.None, inside);
        // A flat floor turns where its noise bends it, and the more it is bent the surer it looks. What a stiffer polynomial says tells by how much: within that distance, and
        // less likely the nearer to the stiffer one, triangular, JCGM 100:2008, 4.3.9.
        if (Turn(reading, turning.At, sign, StifferDegree)?.ReadDrive() is not { Exists: true } stiffer) return new(most, Estimate.None, inside);
        drive = drive with { Sigma = Smoother.Hypot(drive.Sigma, (stiffer.Value - drive.Value) / Math.Sqrt(6)) };
        var value = turning.Read((fit, x) => fit.At(0, x));
        return value.Exists && drive.Sigma < Determined * turning.Window.Fit.Scale ? new(turning.At, drive, value) : new(most, Estimate.None, inside);
    }

    private static Feature? Turn(CurveReading reading, int at, int sign, int degree = Smoother.Degree) =>
        Feature.Find(reading.Output, at, (fit, near) => fit.Where(1, 0, near) is { } x && sign * fit.At(2, x) < 0 ? x : double.NaN, degree: degree);

    /// <summary>Middle of the stretch that cannot be told from the most extreme reading: that one itself is where the noise is luckiest.</summary>
    private static int Basin(CurveReading reading, int most)
    {
        var values = reading.Pilot.Values;
        var (segmentFirst, segmentLast) = reading.Trace.Segment(most);
        var apart = 3 * reading.Output.NoiseAt(most);
        var (first, last) = (most, most);
        while (first > segmentFirst && Math.Abs(values[first - 1] - values[most]) <= apart) first--;
        while (last < segmentLast && Math.Abs(values[last + 1] - values[most]) <= apart) last++;
        return (first + last) / 2;
    }

    public static LevelValue Level(CurveReading reading, Turning turning, int sign) => new(
        turning.Output.Value, "V", turning.Output.Sigma, turning.Output.First, turning.Output.Last, CurveReading.PlateTerm(turning.Output.Value))
    {
        PerPlateVolt = 1,
        At = turning.Point,
        Mark = AtEdge(reading, turning.Point, sign),
    };

    /// <summary>The level; none where the samples beside it were at the end of a converter's range, which may be hiding a more extreme output.</summary>
    public static Figure Show(CurveReading reading, Turning turning, int sign) =>
        Hidden(reading, turning) is { } because ? Figure.None("V", because) : reading.Show(Level(reading, turning, sign));

    public static string? Hidden(CurveReading reading, Turning turning)
    {
        var trace = reading.Trace;
        var (first, last) = trace.Segment(turning.Point);
        return (turning.Point == first && trace.ClippedBefore(first)) || (turning.Point == last && trace.ClippedBefore(last + 1))
            ? $"beside {CurveReading.Volts(trace.X[turning.Point])} of drive a channel is at the end of its converter's range, which may hide it: {CurveReading.NotClipped}"
            : null;
    }

    public static (Figure Depth, Figure Drive, Figure Slope) FoldBack(CurveReading reading, Turning lowest)
    {
        var trace = reading.Trace;
        var end = trace.Count - 1;
        var last = reading.Output.Value(end);
        var rise = last.Value - lowest.Output.Value;
        var mark = trace.MissingAtEnd > 0 ? $"the last {trace.MissingAtEnd} points of the drive are missing" : null;
        var depth = new LevelValue(
            rise, "V", Smoother.Hypot(last.Sigma, lowest.Output.Sigma), last.First, last.Last,
            CurveReading.PlateTerm(last.Value), CurveReading.PlateTerm(lowest.Output.Value, -1)) { Mark = mark };
        var shown = reading.Show(depth);
        var least = Math.Max(Significance * shown.Uncertainty!.Value, reading.Options.FoldBackFloorVolts);
        if (lowest.Point == end || rise <= least)
        {
            var because = $"none: up to {CurveReading.Volts(trace.X[end])} of drive the output does not rise again by more than {CurveReading.Volts(least)}";
            return (Figure.None("V", because), Figure.None("V", because), Figure.None("1", because));
        }
        var onset = Onset(reading, lowest);
        var length = trace.X[end] - onset.Value;
        if (!(length > 0)) return (shown, reading.Show(onset), Figure.None("1", "the lowest output lies at the highest drive"));
        // What the onset does to the slope enters with its scatter; at the minimum itself the output does not change with it.
        var slope = new LevelValue(
            rise / length, "1", Smoother.Hypot(depth.Scatter / length, rise / (length * length) * onset.Scatter), last.First, last.Last,
            CurveReading.PlateTerm(last.Value, 1 / length), CurveReading.PlateTerm(lowest.Output.Value, -1 / length),
            CurveReading.DriveTerm(trace.X[end], -rise / (length * length)), CurveReading.DriveTerm(onset.Value, rise / (length * length)))
        {
            HalfWidth = rise / (length * length) * onset.HalfWidth,
            Mark = mark,
        };
        return (shown, reading.Show(onset), reading.Show(slope));
    }

    private static LevelValue Onset(CurveReading reading, Turning lowest)
    {
        var trace = reading.Trace;
        var gap = BesideGap(trace, lowest.Point);
        if (lowest.Drive.Exists)
        {
            return new(lowest.Drive.Value, "V", lowest.Drive.Sigma, lowest.Drive.First, lowest.Drive.Last, CurveReading.DriveTerm(lowest.Drive.Value)) { Mark = gap };
        }
        // Anywhere that cannot be told from the lowest: rectangular, JCGM 100:2008, 4.3.7.
        var (segmentFirst, segmentLast) = trace.Segment(lowest.Point);
        bool Same(int i) => Math.Abs(reading.Pilot.Values[i] - lowest.Output.Value) <= 2 * reading.Output.NoiseAt(i);
        int first = lowest.Point, last = lowest.Point;
        while (first > segmentFirst && Same(first - 1)) first--;
        while (last < segmentLast && Same(last + 1)) last++;
        var (left, right) = (trace.X[Math.Max(segmentFirst, first - 1)], trace.X[Math.Min(segmentLast, last + 1)]);
        return new((left + right) / 2, "V", 0, first, last, CurveReading.DriveTerm((left + right) / 2)) { HalfWidth = (right - left) / 2, Mark = gap };
    }

    private static string? AtEdge(CurveReading reading, int at, int sign)
    {
        var trace = reading.Trace;
        if (BesideGap(trace, at) is { } gap) return gap;
        if (at != 0 && at != trace.Count - 1) return null;
        var slope = reading.Output.Slope(at);
        var outwards = at == 0 ? -slope.Value : slope.Value;
        return slope.Exists && sign * outwards > 3 * slope.Sigma && Math.Abs(slope.Value) > 1e-6
            ? $"at the {(at == 0 ? "lowest" : "highest")} drive measured, where the output is still {(sign < 0 ? "falling" : "rising")}"
            : null;
    }

    private static string? BesideGap(Trace trace, int at)
    {
        var (first, last) = trace.Segment(at);
        return (at == first && first > 0) || (at == last && last < trace.Count - 1) ? "next to missing points" : null;
    }
}
