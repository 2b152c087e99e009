using System.Diagnostics;
using System.Globalization;
using SweepRig.Analysis.Levels;
using SweepRig.Benchmarks.Fits;
using SweepRig.Benchmarks.RecoveryCoverage;

namespace SweepRig.Benchmarks.LevelsSpeed;

/// <summary>
/// All levels of a 512-point curve with uncertainties and budgets, on one thread, beside the same method in NumPy on the same curve (fewer levels, scatter alone). Best of many repeats on both
/// sides; the switching point and VIL of both must agree within their uncertainty.
/// </summary>
public static class LevelsSpeedFigure
{
    private const int Repeats = 200;
    private const double MostMilliseconds = 5;

    /// <exception cref="InvalidOperationException">NumPy is missing, or the two disagree.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var curve = new SeededSweep(3).Curve;
        var options = new LevelOptions();
        var best = double.PositiveInfinity;
        CurveLevels? levels = null;
        for (var n = 0; n < Repeats; n++)
        {
            var clock = Stopwatch.GetTimestamp();
            levels = LevelFinder.Find(curve, SeededSweep.Connection, options, SeededSweep.Known);
            best = Math.Min(best, Stopwatch.GetElapsedTime(clock).TotalMilliseconds);
        }
        static string Line(double[] column) => string.Join(' ', column.Select(v => v.ToString("R", CultureInfo.InvariantCulture)));
        var input = string.Join('\n', curve.Count, Line(curve.Drive), Line(curve.Plate), Line(curve.PlateCurrent), Line(curve.GridCurrent));
        var answer = await PythonScript.RunAsync("levels_speed.py", ["20"], input);
        var theirs = double.Parse(answer[0], CultureInfo.InvariantCulture);
        var said = answer.Skip(1).Select(l => l.Split('\t')).ToDictionary(l => l[0], l => (Value: double.Parse(l[1], CultureInfo.InvariantCulture), Sigma: double.Parse(l[2], CultureInfo.InvariantCulture)));
        foreach (var (name, figure) in new[] { ("switching", levels!.SwitchingDrive), ("VIL", levels.UnityGainLow) })
        {
            if (!(Math.Abs(figure.Value!.Value - said[name].Value) <= 4 * Math.Max(figure.Uncertainty!.Value, said[name].Sigma)))
                throw new InvalidOperationException($"SweepRig bug: {name} is {figure.Value} here and {said[name].Value} in NumPy.");
        }
        return new(
            "levels-speed",
            $"{FigureLine.Text(best)} ms",
            $"< {MostMilliseconds:0} ms for {SeededSweep.Points} points with uncertainty",
            $"the same method in NumPy {FigureLine.Text(theirs, "0.0")} ms, {FigureLine.Text(theirs / best, "0")} times as long",
            best < MostMilliseconds);
    }
}
