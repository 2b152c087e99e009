using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Levels;

/// <summary>What a current is compared with.</summary>
/// <param name="Amps">The stated current, A.</param>
/// <param name="Sigma">Its standard uncertainty by scatter, A.</param>
/// <param name="Terms">What the calibration does to it.</param>
internal sealed record Threshold(double Amps, double Sigma = 0, params FigureTerm[] Terms);

/// <summary>What the rig shows at a drive when no current flows.</summary>
/// <param name="At">A at a drive.</param>
/// <param name="Sigma">Its standard uncertainty by scatter, A.</param>
/// <param name="Terms">What the calibration does to it.</param>
/// <param name="Mark">For the figure.</param>
internal sealed record Zero(Func<double, double> At, double Sigma, string? Mark, params FigureTerm[] Terms)
{
    public static Zero None { get; } = new(static _ => 0, 0, null);
}

/// <summary>The drive at which a current, followed down from its largest value, reaches a stated one.</summary>
internal static class CurrentCrossing
{
    public static Figure Find(CurveReading reading, Smoother current, MeasuredCurrent which, Zero zero, Threshold threshold)
    {
        var name = Name(which);
        var trace = current.Trace;
        if (trace.Count < LevelFinder.LeastPoints) return Figure.None("V", $"the {name} was not measured");
        var values = Pilot.Of(current).Values;
        double Net(int i) => values[i] - zero.At(trace.X[i]);
        var largest = 0;
        for (var i = 1; i < trace.Count; i++)
        {
            if (values[i] > values[largest]) largest = i;
        }
        if (Net(largest) < threshold.Amps)
            return Figure.None("V", $"the {name} stays below {CurveReading.Amps(threshold.Amps)} up to {CurveReading.Volts(trace.X[^1])} of drive");
        for (var i = largest - 1; i >= 0; i--)
        {
            if (Net(i) > threshold.Amps) continue;
            if (trace.GapBefore(i + 1)) return Figure.None("V", CurveReading.InGap(trace, i + 1));
            return Refine(reading, current, which, zero, threshold, i, Net(i), Net(i + 1));
        }
        return StillFlows(which, trace, Net(0), threshold);
    }

    private static string Name(MeasuredCurrent which) => which == MeasuredCurrent.Grid ? "grid current" : "plate current";

    private static Figure StillFlows(MeasuredCurrent which, Trace trace, double amps, Threshold threshold) => Figure.None(
        "V", $"the {Name(which)} is still {CurveReading.Amps(amps)} at the lowest drive, {CurveReading.Volts(trace.X[0])}; {CurveReading.Amps(threshold.Amps)} was asked for. Sweep from a lower drive");

    private static Figure Refine(
        CurveReading reading, Smoother current, MeasuredCurrent which, Zero zero, Threshold threshold, int below, double low, double high)
    {
        var trace = current.Trace;
        var step = trace.X[below + 1] - trace.X[below];
        var guess = trace.X[below] + step * (threshold.Amps - low) / (high - low);
        // Where the fit crosses far from the readings that do, it is a wiggle of the polynomial.
        bool Near(Window window, double place) => !window.LimitedByGrid && Math.Abs(place - guess) <= Math.Max(2 * step, window.Fit.Scale / 2) && place >= trace.X[window.First] && place <= trace.X[window.Last];
        var crossing = Feature.Find(
            current, trace.Nearest(guess), (fit, near) => fit.Where(0, threshold.Amps + zero.At(near), near) is { } x && fit.At(1, x) > 0 ? x : double.NaN, Near, guess: guess);
        if (crossing?.ReadDrive() is { Exists: true } drive && drive.Sigma <= crossing.Window.Fit.Scale)
            return Show(reading, trace, which, zero, threshold, crossing.At, drive, crossing.Window.Fit.At(1, crossing.Place), 0);
        return Coarse(reading, current, which, zero, threshold, below);
    }

    /// <summary>Between two readings that the bend leaves alone with each other.</summary>
    private static Figure Coarse(CurveReading reading, Smoother current, MeasuredCurrent which, Zero zero, Threshold threshold, int near)
    {
        var trace = current.Trace;
        double Net(int i) => trace.Y[i] - zero.At(trace.X[i]);
        var below = near;
        while (below > 0 && Net(below) > threshold.Amps) below--;
        if (Net(below) > threshold.Amps) return StillFlows(which, trace, Net(below), threshold);
        while (below + 2 < trace.Count && Net(below + 1) <= threshold.Amps) below++;
        var (low, high) = (Net(below), Net(below + 1));
        var step = trace.X[below + 1] - trace.X[below];
        if (!(high > low) || !(step > 0)) return Figure.None("V", $"the readings around {CurveReading.Volts(trace.X[below])} of drive scatter by more than {CurveReading.Amps(threshold.Amps)}; average more");
        var sigma = Smoother.Hypot(Smoother.Hypot(current.TypicalNoise, threshold.Sigma), zero.Sigma);
        var straight = step * (threshold.Amps - low) / (high - low);
        var (part, half) = (straight, 0.0);
        if (high > 1.5 * low)
        {
            // Near cut-off a current rises faster than a line and not faster than by a factor with each step; out of nothing, later than a line at any
            // rate. The crossing lies between the two: rectangular, JCGM 100:2008, 4.3.7.
            var latest = low > 3 * sigma ? step * Math.Log(threshold.Amps / low) / Math.Log(high / low) : step;
            (part, half) = ((straight + latest) / 2, Math.Abs(latest - straight) / 2);
        }
        var drive = new Estimate(trace.X[below] + part, current.TypicalNoise * step / (high - low), below, below + 1);
        return Show(reading, trace, which, zero, threshold, below, drive, (high - low) / step, half);
    }

    /// <param name="slope">Of the current, A/V.</param>
    private static Figure Show(
        CurveReading reading, Trace trace, MeasuredCurrent which, Zero zero, Threshold threshold, int at, Estimate drive, double slope, double half)
    {
        var scatter = Smoother.Hypot(drive.Sigma, Smoother.Hypot(threshold.Sigma, zero.Sigma) / slope);
        FigureTerm[] terms =
        [
            CurveReading.DriveTerm(drive.Value),
            .. reading.CurrentTerms(which, trace, at, -1 / slope),
            .. threshold.Terms.Concat(zero.Terms).Select(t => t with { Sensitivity = t.Sensitivity / slope }),
        ];
        var current = which == MeasuredCurrent.Plate ? 1 / (reading.Connection.PlateResistor.Value * slope) : 0;
        return reading.Show(new(drive.Value, "V", scatter, drive.First, drive.Last, terms) { HalfWidth = half, Mark = zero.Mark, PerPlateVolt = current });
    }
}
