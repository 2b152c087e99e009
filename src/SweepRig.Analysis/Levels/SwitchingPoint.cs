using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>The steepest fall of the output: drive, output and gain there, and where to set out from for the unity-gain points.</summary>
/// <param name="Left">Point at or left of the steepest fall; -1 when there is no fall.</param>
/// <param name="Right">Point at or right of it.</param>
/// <param name="Absent">Why there is no figure; null when there are figures.</param>
internal sealed record SwitchingPoint(int Left, int Right, Figure Drive, Figure Output, Figure Gain, string? Absent)
{
    /// <summary>A steepest place is known when its standard uncertainty is below this part of the half width of its window.</summary>
    private const double Determined = 0.35;

    public static SwitchingPoint Find(CurveReading reading)
    {
        var trace = reading.Trace;
        var pilot = reading.Pilot;
        var steepest = -1;
        for (var i = 0; i < trace.Count; i++)
        {
            if (!double.IsNaN(pilot.Slopes[i]) && (steepest < 0 || pilot.Slopes[i] < pilot.Slopes[steepest])) steepest = i;
        }
        if (steepest < 0) return None(-1, -1, "no stretch of the curve has enough points for a slope");
        var (fall, sigma) = (pilot.Slopes[steepest], pilot.Sigmas[steepest]);
        for (var i = 1; i < trace.Count; i++)
        {
            // By the mean value theorem a chord steeper than any slope found proves a steeper place between its ends.
            if (trace.GapBefore(i) && trace.X[i] > trace.X[i - 1] && (trace.Y[i] - trace.Y[i - 1]) / (trace.X[i] - trace.X[i - 1]) < fall - 2 * sigma)
                return None(i - 1, i, CurveReading.InGap(trace, i));
        }
        // The steepest of many slopes of noise is steep by luck: four, where one slope would ask for two or three.
        if (fall > -4 * sigma || Math.Abs(fall) < 1e-9) return None(-1, -1, "the output does not fall with rising drive by more than the noise");
        return steepest <= 1 || steepest >= trace.Count - 2 ? AtTheEnd(reading, steepest) : Refine(reading, steepest);
    }

    private static SwitchingPoint Refine(CurveReading reading, int steepest)
    {
        var trace = reading.Trace;
        // The middle of what cannot be told from the steepest: that one itself is where the noise is luckiest.
        var (first, last) = AsSteep(reading, steepest);
        var at = (first + last) / 2;
        for (var turn = 0; turn < 5; turn++)
        {
            if (reading.Output.At(at, Smoother.HighestDegree) is not { } window) break;
            var start = trace.X[at];
            // The second derivative passes zero upwards where the fall is steepest.
            double Place(LocalPolynomial fit) => fit.Where(2, 0, start) is { } x && fit.At(3, x) > 0 ? x : double.NaN;
            var place = Place(window.Fit);
            if (double.IsNaN(place)) break;
            var next = trace.Nearest(Math.Clamp(place, trace.X[window.First], trace.X[window.Last]));
            if (next != at && turn < 4)
            {
                at = next;
                continue;
            }
            var drive = window.Read(Place);
            if (!drive.Exists || !(drive.Sigma < Determined * window.Fit.Scale)) break;
            return Figures(reading, at, window, drive, Place);
        }
        return Level(reading, steepest);
    }

    private static SwitchingPoint Figures(CurveReading reading, int at, Window window, Estimate drive, Func<LocalPolynomial, double> place)
    {
        var trace = reading.Trace;
        var gain = window.Read(fit => place(fit) is var x && double.IsNaN(x) ? x : fit.At(1, x));
        var output = window.Read(fit => place(fit) is var x && double.IsNaN(x) ? x : fit.At(0, x));
        var step = (trace.X[window.Last] - trace.X[window.First]) / (window.Last - window.First);
        // So few points only bracket the place: rectangular, half a step to either side, and the slope turns by as much over it (JCGM 100:2008, 4.3.7).
        var (half, turn) = window.LimitedByGrid ? (step / 2, Math.Abs(window.Fit.At(3, drive.Value)) * step * step / 8) : (0, 0);
        return new(
            at, at,
            reading.Show(new(drive.Value, "V", drive.Sigma, window.First, window.Last, CurveReading.DriveTerm(drive.Value)) { HalfWidth = half }),
            reading.Show(new(output.Value, "V", output.Sigma, window.First, window.Last, CurveReading.PlateTerm(output.Value)) { HalfWidth = half * Math.Abs(gain.Value) }),
            reading.Show(new(gain.Value, "1", gain.Sigma, window.First, window.Last, CurveReading.SlopeTerms(drive.Value, output.Value, gain.Value)) { HalfWidth = turn }),
            null);
    }

    /// <summary>No bend to be seen: anywhere in the straight part is as good.</summary>
    private static SwitchingPoint Level(CurveReading reading, int steepest)
    {
        var trace = reading.Trace;
        var (first, last) = AsSteep(reading, steepest);
        var (drive, half) = ((trace.X[first] + trace.X[last]) / 2, (trace.X[last] - trace.X[first]) / 2);
        var at = trace.Nearest(drive);
        var gain = reading.Output.Slope(at);
        if (!gain.Exists) gain = new(reading.Pilot.Slopes[steepest], reading.Pilot.Sigmas[steepest], steepest, steepest);
        var output = reading.Output.At(at)?.Read(fit => fit.At(0, drive)) ?? reading.Output.Value(at);
        var mark = $"the slope is the same within the noise from {CurveReading.Volts(trace.X[first])} to {CurveReading.Volts(trace.X[last])}";
        return new(
            at, at,
            reading.Show(new(drive, "V", 0, first, last, CurveReading.DriveTerm(drive)) { HalfWidth = half, Mark = mark }),
            reading.Show(new(output.Value, "V", output.Sigma, first, last, CurveReading.PlateTerm(output.Value)) { HalfWidth = half * Math.Abs(gain.Value), Mark = mark }),
            reading.Show(new(gain.Value, "1", gain.Sigma, gain.First, gain.Last, CurveReading.SlopeTerms(drive, output.Value, gain.Value)) { Mark = mark }),
            null);
    }

    private static SwitchingPoint AtTheEnd(CurveReading reading, int steepest)
    {
        var trace = reading.Trace;
        var mark = $"the fall is steepest at the {(steepest <= 1 ? "lowest" : "highest")} drive measured; it may be steeper beyond";
        var half = Math.Abs(trace.X[steepest] - trace.X[steepest == 0 ? 1 : steepest - 1]) / 2;
        var (drive, output, gain) = (trace.X[steepest], reading.Output.Value(steepest), reading.Output.Slope(steepest));
        return new(
            steepest, steepest,
            reading.Show(new(drive, "V", 0, steepest, steepest, CurveReading.DriveTerm(drive)) { HalfWidth = half, Mark = mark }),
            reading.Show(new(output.Value, "V", output.Sigma, output.First, output.Last, CurveReading.PlateTerm(output.Value)) { Mark = mark, PerPlateVolt = 1 }),
            reading.Show(new(gain.Value, "1", gain.Sigma, gain.First, gain.Last, CurveReading.SlopeTerms(drive, output.Value, gain.Value)) { Mark = mark }),
            null);
    }

    /// <summary>The stretch around a point whose slopes cannot be told from its own.</summary>
    private static (int First, int Last) AsSteep(CurveReading reading, int steepest)
    {
        var pilot = reading.Pilot;
        var (segmentFirst, segmentLast) = reading.Trace.Segment(steepest);
        bool Same(int i) => pilot.Slopes[i] - pilot.Slopes[steepest] <=
            2 * Smoother.Hypot(pilot.Sigmas[i], pilot.Sigmas[steepest]) + 1e-6 * Math.Abs(pilot.Slopes[steepest]);
        var first = steepest;
        while (first > segmentFirst && Same(first - 1)) first--;
        var last = steepest;
        while (last < segmentLast && Same(last + 1)) last++;
        // The slopes of the first look end half a window before the stretch does; from there on the steps themselves tell.
        var noise = reading.Output.TypicalNoise;
        var trace = reading.Trace;
        bool Step(int from) => trace.X[from + 1] > trace.X[from] && Math.Abs((trace.Y[from + 1] - trace.Y[from]) / (trace.X[from + 1] - trace.X[from]) - pilot.Slopes[steepest]) <=
            3 * noise / (trace.X[from + 1] - trace.X[from]) + 1e-6 * Math.Abs(pilot.Slopes[steepest]);
        for (var more = 0; more < 3 && first > segmentFirst && Step(first - 1); more++) first--;
        for (var more = 0; more < 3 && last < segmentLast && Step(last); more++) last++;
        // A stretch of one point is known no better than the steps beside it.
        return first == last ? (Math.Max(segmentFirst, first - 1), Math.Min(segmentLast, last + 1)) : (first, last);
    }

    private static SwitchingPoint None(int left, int right, string because) =>
        new(left, right, Figure.None("V", because), Figure.None("V", because), Figure.None("1", because), because);
}
