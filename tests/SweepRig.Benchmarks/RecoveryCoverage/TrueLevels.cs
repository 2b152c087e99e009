using SweepRig.Analysis.Levels;

namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>Levels of the drawn tube itself, found on the solved fixture without noise, steps or smoothing: bisection and golden section to a microvolt of drive.</summary>
internal static class TrueLevels
{
    private const double Lowest = SeededSweep.From, Highest = SeededSweep.To;

    public static Dictionary<string, double> Of(SeededSweep sweep, LevelOptions options)
    {
        double Output(double x) => sweep.At(x).Plate;
        // Differences of the fourth order over 4 mV: the solver is exact to nanovolts.
        double Slope(double x, double h = 4e-3) => (8 * (Output(x + h) - Output(x - h)) - Output(x + 2 * h) + Output(x - 2 * h)) / (12 * h);
        var steepest = Least(x => Slope(x), Lowest, Highest);
        var low = Crossing(x => Slope(x) + 1, Lowest, steepest);
        var high = Crossing(x => Slope(x) + 1, steepest, 8);
        var minimum = Least(Output, 0, Highest);
        var floor = Output(minimum);
        var full = (24 - floor) / sweep.PlateOhms;
        double PlateAmps(double x) => (24 - Output(x)) / sweep.PlateOhms;
        double GridAmps(double x) => sweep.At(x).GridCurrent;
        return new()
        {
            ["VOH"] = Output(Lowest),
            ["VOL"] = floor,
            ["switching drive"] = steepest,
            ["switching output"] = Output(steepest),
            ["peak gain"] = Slope(steepest),
            ["VIL"] = low,
            ["VIH"] = high,
            ["output at VIL"] = Output(low),
            ["output at VIH"] = Output(high),
            ["transition width"] = high - low,
            ["margin low"] = low - Output(high),
            ["margin high"] = Output(low) - high,
            ["cut-off, stated"] = Crossing(x => PlateAmps(x) - options.CutOffPlateAmps, Lowest, steepest),
            ["cut-off, of full"] = Crossing(x => PlateAmps(x) - options.CutOffFraction * full, Lowest, steepest),
            ["grid onset, lower"] = Crossing(x => GridAmps(x) - options.GridOnsetAmps, -5, 2),
            ["grid onset, upper"] = Crossing(x => GridAmps(x) - options.GridOnsetUpperAmps, -5, 2),
            ["input current at VOH"] = GridAmps(Output(Lowest)),
            ["fold-back depth"] = Output(Highest) - floor,
            ["fold-back onset"] = minimum,
            ["fold-back slope"] = (Output(Highest) - floor) / (Highest - minimum),
            ["saturated resistance"] = floor / full,
        };
    }

    public static IEnumerable<(string Name, Analysis.Figure Figure)> Found(CurveLevels l) =>
    [
        ("VOH", l.HighestOutput), ("VOL", l.LowestOutput), ("switching drive", l.SwitchingDrive), ("switching output", l.SwitchingOutput), ("peak gain", l.SwitchingGain),
        ("VIL", l.UnityGainLow), ("VIH", l.UnityGainHigh), ("output at VIL", l.OutputAtUnityLow), ("output at VIH", l.OutputAtUnityHigh), ("transition width", l.TransitionWidth),
        ("margin low", l.MarginLow), ("margin high", l.MarginHigh), ("cut-off, stated", l.CutOffDrive), ("cut-off, of full", l.CutOffDriveOfFull),
        ("grid onset, lower", l.GridCurrentOnset), ("grid onset, upper", l.GridCurrentOnsetUpper), ("input current at VOH", l.InputCurrentAtHigh),
        ("fold-back depth", l.FoldBackDepth), ("fold-back onset", l.DriveAtMinimum), ("fold-back slope", l.FoldBackSlope), ("saturated resistance", l.SaturatedResistance),
    ];

    /// <summary>Where a function passes zero, by bisection.</summary>
    private static double Crossing(Func<double, double> f, double a, double b)
    {
        var atA = f(a);
        for (var i = 0; i < 45; i++)
        {
            var middle = (a + b) / 2;
            if (Math.Sign(f(middle)) == Math.Sign(atA)) a = middle;
            else b = middle;
        }
        return (a + b) / 2;
    }

    /// <summary>Where a function is least: the best of a coarse scan, then golden section around it.</summary>
    private static double Least(Func<double, double> f, double from, double to)
    {
        const int scan = 300;
        var best = Enumerable.Range(0, scan + 1).Select(i => from + (to - from) * i / scan).MinBy(f);
        double a = Math.Max(from, best - (to - from) / scan), b = Math.Min(to, best + (to - from) / scan);
        var golden = (Math.Sqrt(5) - 1) / 2;
        for (var i = 0; i < 50; i++)
        {
            double left = b - golden * (b - a), right = a + golden * (b - a);
            if (f(left) < f(right)) b = right;
            else a = left;
        }
        return (a + b) / 2;
    }
}
