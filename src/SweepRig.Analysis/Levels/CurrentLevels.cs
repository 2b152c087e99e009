using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Cut-off and grid-current onset. An uncalibrated rig shows currents of tens of microamperes where none flow, because the two channels on either side
/// of a resistor differ. Its zero is therefore taken from the curve itself, where surely no current flows, and the figure says so.
/// </summary>
internal static class CurrentLevels
{
    /// <summary>Below this drive no small receiving tube draws grid current that matters here: onset lies above -1.3 V (common practice, no source).</summary>
    public const double NoGridCurrentBelow = -2;

    private const int LeastPoints = 5;

    /// <summary>A stated grid current counts as under the noise when noise or zero may be this part of it.</summary>
    private const double Drowned = 0.1;

    public static (Figure Stated, Figure OfFull) CutOff(CurveReading reading, Turning lowest)
    {
        var current = reading.PlateCurrent;
        var zero = PlateZero(reading);
        Figure Find(Threshold threshold) => CurrentCrossing.Find(reading, current, MeasuredCurrent.Plate, zero, threshold);
        var stated = Find(new(reading.Options.CutOffPlateAmps));
        if (current.Trace.Count < LevelFinder.LeastPoints) return (stated, stated);
        var at = current.Trace.Nearest(reading.Trace.X[lowest.Point]);
        var full = current.Value(at);
        var amps = reading.Options.CutOffFraction * (full.Value - zero.At(current.Trace.X[at]));
        if (!(amps > 3 * Smoother.Hypot(full.Sigma, current.TypicalNoise) * reading.Options.CutOffFraction))
            return (stated, Figure.None("V", $"the tube does not conduct: at the lowest output the plate current is {CurveReading.Amps(full.Value)}"));
        return (stated, Find(new(
            amps, reading.Options.CutOffFraction * full.Sigma, reading.CurrentTerms(MeasuredCurrent.Plate, current.Trace, at, reading.Options.CutOffFraction))));
    }

    public static (Figure Lower, Figure Upper) GridOnset(CurveReading reading)
    {
        var current = reading.GridCurrent;
        RetardingField? law = null;
        Figure Find(double threshold)
        {
            if (current.Trace.Count < LevelFinder.LeastPoints) return Figure.None("V", "the grid current was not measured");
            var differ = reading.Known.CurrentUncertainty(MeasuredCurrent.Grid, -1, -1);
            if (threshold <= RetardingField.MostAmps && !(Math.Max(current.TypicalNoise, differ) <= Drowned * threshold))
            {
                law ??= RetardingField.Fit(reading);
                return law.Onset(reading, threshold);
            }
            return CurrentCrossing.Find(reading, current, MeasuredCurrent.Grid, GridZero(reading), new(threshold));
        }
        return (Find(reading.Options.GridOnsetAmps), Find(reading.Options.GridOnsetUpperAmps));
    }

    public static Figure InputAtHigh(CurveReading reading, Turning highest)
    {
        var current = reading.GridCurrent;
        var trace = current.Trace;
        if (trace.Count < LevelFinder.LeastPoints) return Figure.None("A", "the grid current was not measured");
        if (OutputRange.Hidden(reading, highest) is { } because) return Figure.None("A", $"the highest output is not known: {because}");
        var drive = highest.Output.Value;
        if (drive > trace.X[^1] + 1e-9 || drive < trace.X[0])
            return Figure.None("A", $"the drive ends at {CurveReading.Volts(trace.X[^1])}, below the highest output of {CurveReading.Volts(drive)}; allow positive drive up to there to see it");
        var at = trace.Nearest(drive);
        if (current.At(at) is not { } window) return Figure.None("A", $"too few points around {CurveReading.Volts(drive)} of drive");
        var amps = window.Read(fit => fit.At(0, drive));
        var slope = window.Fit.At(1, drive);
        FigureTerm[] terms =
        [
            .. reading.CurrentTerms(MeasuredCurrent.Grid, trace, at, 1), CurveReading.PlateTerm(drive, slope), CurveReading.DriveTerm(drive, -slope),
        ];
        return reading.Show(new(amps.Value, "A", Smoother.Hypot(amps.Sigma, slope * highest.Output.Sigma), amps.First, amps.Last, terms));
    }

    public static Figure SaturatedResistance(CurveReading reading, Turning lowest)
    {
        var current = reading.PlateCurrent;
        if (current.Trace.Count < LevelFinder.LeastPoints) return Figure.None("Ω", "the plate current was not measured");
        var at = current.Trace.Nearest(reading.Trace.X[lowest.Point]);
        var amps = current.Value(at);
        if (!(amps.Value > 10 * amps.Sigma) || amps.Value < reading.Options.CutOffPlateAmps)
            return Figure.None("Ω", $"the tube does not conduct: at the lowest output the plate current is {CurveReading.Amps(amps.Value)}");
        var (volts, ohms) = (lowest.Output.Value, reading.Known.Resistors[(int)Domain.Rigs.ResistorPlace.Plate].Ohms);
        double perVolt = 1 / amps.Value, perAmp = -volts / (amps.Value * amps.Value);
        // A plate reading that is too high makes the current too low: both add. What is left of the scatter of the current is the supply's.
        var bySupply = Math.Sqrt(Math.Max(0, amps.Sigma * amps.Sigma - lowest.Output.Sigma * lowest.Output.Sigma / (ohms * ohms)));
        var scatter = Smoother.Hypot((perVolt - perAmp / ohms) * lowest.Output.Sigma, perAmp * bySupply);
        return reading.Show(new(
            volts / amps.Value, "Ω", scatter, lowest.Output.First, lowest.Output.Last,
            [CurveReading.PlateTerm(volts, perVolt), .. reading.CurrentTerms(MeasuredCurrent.Plate, current.Trace, at, perAmp)]));
    }

    private static Zero PlateZero(CurveReading reading)
    {
        var current = reading.PlateCurrent;
        if (!reading.Calibration.IsNominal || current.Trace.Count < LeastPoints) return Zero.None;
        var level = current.Value(0);
        var slope = current.Slope(0);
        var differ = reading.Known.CurrentUncertainty(MeasuredCurrent.Plate, reading.Connection.PlateRail.Value, reading.Connection.PlateRail.Value);
        var isLevel = slope.Exists && Math.Abs(slope.Value) <= 3 * slope.Sigma + 1e-9 && level.Last - level.First + 1 >= LeastPoints;
        return isLevel && Math.Abs(level.Value) <= 3 * differ
            ? new(_ => level.Value, level.Sigma, "counted from the current shown at the most negative drives", reading.CurrentTerms(MeasuredCurrent.Plate, current.Trace, 0, 1))
            : Zero.None;
    }

    /// <summary>Straight line through the readings where no grid current flows: offset and gain of two channels that differ.</summary>
    private static Zero GridZero(CurveReading reading)
    {
        var trace = reading.GridCurrent.Trace;
        var points = Array.FindLastIndex(trace.X, x => x <= NoGridCurrentBelow) + 1;
        if (!reading.Calibration.IsNominal || points < LeastPoints || LocalPolynomial.Fit(trace, 0, points - 1, 0, 1) is not { } line) return Zero.None;
        return new(
            x => line.At(0, x), reading.GridCurrent.NoiseAt(0) * Math.Sqrt(line.Derivative(0, 0).Variance),
            $"counted from the line shown below {CurveReading.Volts(NoGridCurrentBelow)}", reading.CurrentTerms(MeasuredCurrent.Grid, trace, points - 1, 1));
    }
}
