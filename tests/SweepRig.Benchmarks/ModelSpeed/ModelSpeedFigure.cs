using System.Diagnostics;
using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.ModelSpeed;

/// <summary>
/// Evaluations of the tube model a second with all derivatives, on one thread, beside the same model vectorised in NumPy on the same random points.
/// Best of many short repeats on both sides, taken in turns, so that other work on the machine hinders both alike.
/// </summary>
public static class ModelSpeedFigure
{
    private const int Points = 200_000;
    private const int Rounds = 3;
    private const double SecondsARound = 1.5;
    private const double Target = 2e6;

    /// <exception cref="InvalidOperationException">NumPy is missing, or the two models disagree.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var model = new TubeModel(ExampleTubes.Weak6AU6, new Volts(6.0));
        var random = new Random(20);
        double[][] volts = [Fill(random, -12, 5), Fill(random, 0, 60), Fill(random, 0, 60)];
        var columns = new TubeColumns(Points);
        double many = 0, single = 0, numPy = 0, apart = 0;
        for (var round = 0; round < Rounds; round++)
        {
            many = Math.Max(many, Best(() => model.EvaluateMany(volts[0], volts[1], volts[2], columns)));
            single = Math.Max(single, Best(() => EvaluateOneByOne(model, volts)));
            var answer = await NumPyModel.MeasureAsync(model, volts, SecondsARound);
            numPy = Math.Max(numPy, answer.Rate);
            apart = Math.Max(apart, Difference(columns, answer.Results));
        }
        if (apart > 1e-9)
        {
            throw new InvalidOperationException(string.Create(
                CultureInfo.InvariantCulture, $"SweepRig bug: the models differ by {apart:0.0e0} of the largest current or derivative of a point; allowed is 1e-9."));
        }
        return new(
            "model-speed",
            $"{Text(many)} M/s",
            ">= 2 M/s, one at a time too, and ahead of NumPy",
            $"NumPy {Text(numPy)} M/s, ratio {FigureLine.Text(many / numPy, "0.0")}, one at a time {Text(single)} M/s, results within {apart.ToString("0.0e0", CultureInfo.InvariantCulture)}",
            many >= Target && single >= Target && many > numPy);
    }

    private static string Text(double rate) => FigureLine.Text(rate / 1e6, "0.0");

    private static double[] Fill(Random random, double low, double high) =>
        [.. Enumerable.Range(0, Points).Select(_ => low + (high - low) * random.NextDouble())];

    private static double Best(Action sweep)
    {
        double best = 0;
        var whole = Stopwatch.StartNew();
        while (whole.Elapsed.TotalSeconds < SecondsARound)
        {
            var clock = Stopwatch.StartNew();
            sweep();
            best = Math.Max(best, Points / clock.Elapsed.TotalSeconds);
        }
        return best;
    }

    private static void EvaluateOneByOne(TubeModel model, double[][] volts)
    {
        var sum = 0.0;
        for (var n = 0; n < Points; n++) sum += model.Evaluate(volts[0][n], volts[1][n], volts[2][n], out var d).Plate + d.PlateByGrid;
        if (double.IsNaN(sum)) throw new InvalidOperationException("SweepRig bug: a current is no number.");
    }

    // Relative to the largest current, and to the largest derivative, of the same point: small terms are differences of large ones.
    private static double Difference(TubeColumns ours, double[][] theirs)
    {
        double[][] mine =
        [
            ours.Grid, ours.Screen, ours.Plate,
            ours.GridByGrid, ours.GridByScreen, ours.GridByPlate,
            ours.ScreenByGrid, ours.ScreenByScreen, ours.ScreenByPlate,
            ours.PlateByGrid, ours.PlateByScreen, ours.PlateByPlate,
        ];
        return Math.Max(Range(0, 3), Range(3, 12));

        double Range(int from, int to)
        {
            var worst = 0.0;
            for (var n = 0; n < Points; n++)
            {
                double scale = 0, difference = 0;
                for (var row = from; row < to; row++)
                {
                    scale = Math.Max(scale, Math.Abs(theirs[row][n]));
                    difference = Math.Max(difference, Math.Abs(mine[row][n] - theirs[row][n]));
                }
                // Written so that NaN ends it as the worst of all.
                if (!(difference / scale <= 1)) return double.PositiveInfinity;
                worst = Math.Max(worst, difference / scale);
            }
            return worst;
        }
    }
}
