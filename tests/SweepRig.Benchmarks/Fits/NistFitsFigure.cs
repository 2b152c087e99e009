using System.Diagnostics;
using System.Globalization;
using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Tests.Fitting.Nist;

namespace SweepRig.Benchmarks.Fits;

/// <summary>
/// The 27 nonlinear problems of the NIST Statistical Reference Datasets from both starts, beside SciPy's least_squares with the same derivatives: digits of
/// the worst parameter and of the worst standard error of each run, best time of several repeats on both sides. The table goes to standard error.
/// </summary>
public static class NistFitsFigure
{
    private const int Repeats = 5;
    private const double LeastDigits = 6;
    private const double LeastErrorDigits = 5;

    private sealed record Run(string Name, int Start, double Digits, double ErrorDigits, double Milliseconds)
    {
        public bool ErrorsCount => Name != "Lanczos1";
    }

    /// <exception cref="InvalidOperationException">SciPy is missing.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var scipy = (await PythonScript.RunAsync("nist_fits.py", [Path.Combine(AppContext.BaseDirectory, "Fitting", "Nist", "nonlinear"), Repeats.ToString(CultureInfo.InvariantCulture)]))
            .Select(Parse).ToDictionary(r => (r.Name, r.Start));
        // Once around for the compiler.
        foreach (var name in NistProblem.Names) Measure(name, 2);
        List<Run> ours = [];
        foreach (var name in NistProblem.Names)
            for (var start = 1; start <= 2; start++) ours.Add(Measure(name, start));

        await Console.Error.WriteLineAsync("problem   start  digits (SciPy)  of errors (SciPy)   ms (SciPy)");
        foreach (var run in ours)
        {
            var other = scipy[(run.Name, run.Start)];
            await Console.Error.WriteLineAsync(string.Create(CultureInfo.InvariantCulture,
                $"{run.Name,-10} {run.Start}      {run.Digits,4:0.0} ({other.Digits,4:0.0})       {run.ErrorDigits,4:0.0} ({other.ErrorDigits,4:0.0})      {run.Milliseconds,8:0.000} ({other.Milliseconds:0.0})"));
        }
        var good = ours.Count(r => r.Digits >= LeastDigits && (!r.ErrorsCount || r.ErrorDigits >= LeastErrorDigits));
        var theirs = scipy.Values.Count(r => r.Digits >= LeastDigits);
        double ourTime = ours.Sum(r => r.Milliseconds), theirTime = scipy.Values.Sum(r => r.Milliseconds);
        return new(
            "nist-fits",
            $"{good} of {ours.Count} runs",
            $"all with >= {LeastDigits:0} digits in every parameter and {LeastErrorDigits:0} in every standard error, Lanczos1's excepted",
            $"worst {FigureLine.Text(ours.Min(r => r.Digits), "0.0")} and {FigureLine.Text(ours.Where(r => r.ErrorsCount).Min(r => r.ErrorDigits), "0.0")} digits, {FigureLine.Text(ourTime, "0.0")} ms in all; SciPy least_squares {theirs} of {scipy.Count}, worst {FigureLine.Text(scipy.Values.Min(r => r.Digits), "0.0")}, {FigureLine.Text(theirTime, "0")} ms, {FigureLine.Text(theirTime / ourTime, "0")} times as long",
            good == ours.Count);
    }

    private static Run Measure(string name, int start)
    {
        var problem = NistProblem.Read(name);
        var best = double.PositiveInfinity;
        Fit? fit = null;
        for (var n = 0; n < Repeats; n++)
        {
            var clock = Stopwatch.StartNew();
            fit = LeastSquares.Minimize(problem, problem.Starts[start - 1], NistRun.Options);
            best = Math.Min(best, clock.Elapsed.TotalMilliseconds);
        }
        var score = NistRun.Score(problem, fit!);
        return new(name, start, fit!.IsConverged ? score.Parameters : 0, score.Errors, best);
    }

    private static Run Parse(string line)
    {
        var parts = line.Split(' ');
        double Number(int n) => double.Parse(parts[n], CultureInfo.InvariantCulture);
        return new(parts[0], (int)Number(1), Number(2), Number(3), Number(4));
    }
}
