using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Temperature of the cathode from the slope of small grid currents against the drive, by the law of the retarding field (see <see cref="RetardingField"/>), without any
/// knowledge of what cathodes are run at: that is what it is held against.
/// </summary>
/// <remarks>
/// The current that passes the grid feeds that to it, and moves with the screen's voltage, which falls along the stretch: in triode connection by volts. Grid current goes
/// with a power of it between 0 and 1 (worked from the three-halves law near cut-off, where it is 1.5 of a part, less the square root of the division law); the middle is
/// taken, and the ends make an uncertainty.
/// </remarks>
internal static class CathodeTemperature
{
    // Told worse than this the number would only repeat that a cathode glows.
    private const double WorstSigma = 0.12;

    private const string Finer = "sweep from -4 V to 0 V in steps of 20 mV, averaged longer or with a larger grid stopper";

    public static Figure Of(CurveReading reading)
    {
        var trace = reading.GridCurrent.Trace;
        if (trace.Count < LevelFinder.LeastPoints) return Figure.None("K", "the grid current was not measured");
        if (!(trace.X[0] <= CurrentLevels.NoGridCurrentBelow))
            return Figure.None("K", $"the drive begins at {CurveReading.Volts(trace.X[0])}; what the channels show without grid current has to be seen first: {Finer}");
        var middle = Fit(reading, trace, 0.5);
        if (middle.Absent is { } absent) return Figure.None("K", $"{absent}; {Finer}");
        if (middle.Departs) return Figure.None("K", "the small grid currents depart from the law of the retarding field by more than their noise: leakage or reverse grid current that changes with the drive");
        var (weak, strong) = (Fit(reading, trace, 0), Fit(reading, trace, 1));
        var byScreen = weak.Absent is null && strong.Absent is null ? Math.Abs(strong.Kelvin - weak.Kelvin) / 2 / Math.Sqrt(3) : middle.Kelvin;
        var sigma = Smoother.Hypot(middle.KelvinSigma, byScreen);
        if (!(sigma <= WorstSigma * middle.Kelvin))
            return Figure.None("K", FormattableString.Invariant($"the grid currents between their noise of {CurveReading.Amps(middle.Noise)} and {CurveReading.Amps(RetardingField.MostAmps)} tell it to {2 * sigma:0} K only; {Finer}"));
        if (middle.Kelvin + 2 * sigma < RetardingField.ColdestKelvin || middle.Kelvin - 2 * sigma > RetardingField.HottestKelvin)
        {
            return Figure.None("K", FormattableString.Invariant(
                $"the slope would mean {middle.Kelvin:0} K, and oxide cathodes are run at {RetardingField.ColdestKelvin:0} to {RetardingField.HottestKelvin:0} K: leakage, or an error of the meter, was measured"));
        }
        var (first, last) = middle.Stretch;
        return reading.Show(new(
            middle.Kelvin, "K", middle.KelvinSigma, first, last,
            CurveReading.DriveTerm(trace.X[last] + 0.5, middle.Kelvin), CurveReading.DriveTerm(trace.X[last] - 0.5, -middle.Kelvin))
        {
            Other = ("what the screen does to the grid current", byScreen),
            Mark = "by the slope of small grid currents",
        });
    }

    private static RetardingField Fit(CurveReading reading, Trace trace, double power)
    {
        var screen = reading.Curve.Screen;
        var at = Array.ConvertAll([.. Enumerable.Range(0, trace.Count)], i => screen[trace.Source(i)]);
        // A screen that was not read stands on its supply, or is the plate.
        if (!Array.TrueForAll(at, v => v > 0))
        {
            var column = reading.Connection.Kind == Domain.Tubes.ConnectionKind.Triode ? reading.Curve.Plate : reading.Curve.Supply;
            at = Array.ConvertAll([.. Enumerable.Range(0, trace.Count)], i => column[trace.Source(i)]);
        }
        return RetardingField.Fit(reading, Array.ConvertAll(at, v => v > 0 ? power * Math.Log(v / at[0]) : 0), usual: false);
    }
}
