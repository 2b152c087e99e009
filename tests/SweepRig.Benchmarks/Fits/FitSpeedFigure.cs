using System.Diagnostics;
using System.Globalization;
using System.Text;
using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Fits;

/// <summary>
/// One fit of the pentode model, 13 constants, to a pentode and a triode sweep of 256 points each, beside SciPy's least_squares on the same readings, weights,
/// start and tolerance. SciPy gets the model vectorised in NumPy and Newton's method side by side for the node voltages with a warm start. What counts is SciPy as it
/// comes, with derivatives by its own differences; with the analytic Jacobian handed to it, the quicker of lm and trf is told in the same breath. Best of several
/// on both sides, in turns.
/// </summary>
public static class FitSpeedFigure
{
    private const double Tolerance = 1e-9;
    private const double Target = 20;
    private const int Rounds = 3;

    // The order of the model script; null where it takes a constant that is not fitted.
    private static readonly TubeParameter?[] ScriptOrder =
    [
        TubeParameter.Perveance, TubeParameter.ScreenMu, TubeParameter.PlateMu, TubeParameter.GridOffset, TubeParameter.CutoffSpread, TubeParameter.GridShare,
        TubeParameter.GridOnset, TubeParameter.GridSpaceLimit, null, TubeParameter.PlateShare, TubeParameter.PlateShareSlope, TubeParameter.PlateSpaceLimit, null,
        TubeParameter.FoldBackCurrent, TubeParameter.Emission,
    ];

    private static readonly TubeParameters Start = ExampleTubes.Sound6BH6;

    /// <exception cref="InvalidOperationException">SciPy is missing, or the two do not end at the same fit.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var bench = new SimulatedRuns(7);
        var tube = new LotSpread().Draw(Start, 5, 1)[0];
        var drives = SimulatedRuns.Even(-6, 24, 256);
        ModelRun[] runs =
        [
            bench.Run(tube, SimulatedRuns.Connection(ConnectionKind.Pentode), drives, "pentode"),
            bench.Run(tube, SimulatedRuns.Connection(ConnectionKind.Triode), drives, "triode"),
        ];
        var ours = double.PositiveInfinity;
        Dictionary<string, double> times = new() { ["lm analytic"] = ours, ["trf analytic"] = ours, ["lm differences"] = ours };
        Answer? last = null;
        Fit? fit = null;
        for (var round = 0; round < Rounds; round++)
        {
            for (var n = 0; n < 20; n++)
            {
                var clock = Stopwatch.StartNew();
                fit = One(runs);
                ours = Math.Min(ours, clock.Elapsed.TotalMilliseconds);
            }
            foreach (var way in times.Keys)
            {
                last = Answer.Of((await PythonScript.RunAsync("fit_speed.py", [], Script(runs, way)))[0]);
                Compare(fit!, last);
                times[way] = Math.Min(times[way], last.Milliseconds);
            }
        }
        var scipy = Math.Min(times["lm analytic"], times["trf analytic"]);
        return new(
            "fit-speed",
            $"{FigureLine.Text(times["lm differences"] / ours, "0")} times faster, {FigureLine.Text(scipy / ours, "0.0")} times when SciPy is handed the analytic Jacobian",
            $">= {Target:0} times faster than SciPy's least_squares on the same data and tolerance",
            $"{FigureLine.Text(ours, "0.00")} ms in {fit!.Steps} steps; SciPy in vectorised NumPy with analytic Jacobian: lm {FigureLine.Text(times["lm analytic"], "0.0")} ms, trf {FigureLine.Text(times["trf analytic"], "0.0")} ms; by its own differences: lm {FigureLine.Text(times["lm differences"], "0")} ms; same minimum to {Math.Abs(last!.Sum / fit.SumOfSquares - 1).ToString("0e0", CultureInfo.InvariantCulture)}",
            times["lm differences"] / ours >= Target);
    }

    private sealed record Answer(double Milliseconds, double Sum, double[] Coordinates)
    {
        public static Answer Of(string line)
        {
            var numbers = line.Split(' ').Select(v => double.Parse(v, CultureInfo.InvariantCulture)).ToArray();
            return new(numbers[0], numbers[3], numbers[4..]);
        }
    }

    private static TubeProblem Problem(ModelRun[] runs) => new([.. runs.Select(r => PassData.Of(r, r.Curves[0])!)], Start);

    private static Fit One(ModelRun[] runs)
    {
        var problem = Problem(runs);
        return LeastSquares.Minimize(problem, problem.Centre, TubeFitter.EngineOptions(problem, problem.Centre, static p => ConstantPriors.IsFault(p)) with { Tolerance = Tolerance });
    }

    private static void Compare(Fit fit, Answer answer)
    {
        var sum = fit.SumOfSquares;
        if (!fit.IsConverged || Math.Abs(answer.Sum - sum) > 1e-6 * sum)
            throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"SweepRig bug: the fits end at sums of squares of {sum} ({fit.Status}) and {answer.Sum}."));
        // To a hundredth of the standard uncertainty: beyond that the shape of the minimum, not the fit, decides.
        var fitted = ScriptOrder.OfType<TubeParameter>().ToArray();
        var u = fit.Uncertainties();
        for (var k = 0; k < fitted.Length; k++)
        {
            if (Math.Abs(fit.Parameters[(int)fitted[k]] - answer.Coordinates[k]) > 0.01 * u[(int)fitted[k]])
                throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"SweepRig bug: {fitted[k]} is {fit.Parameters[(int)fitted[k]]} here and {answer.Coordinates[k]} there."));
        }
    }

    private static string Script(ModelRun[] runs, string way)
    {
        var p = Start;
        var model = new TubeModel(p, runs[0].Connection.Heater);
        var fitted = Enumerable.Range(0, ScriptOrder.Length).Where(k => ScriptOrder[k] is not null).ToArray();
        var text = new StringBuilder();
        text.AppendLine(CultureInfo.InvariantCulture, $"5 {Tolerance} {way}");
        Line(
            p.Perveance, p.ScreenMu, p.PlateMu, p.GridOffset, p.CutoffSpread, p.GridShare, p.GridOnset, p.GridSpaceLimit, p.GridSpaceSharpness, p.PlateShare,
            p.PlateShareSlope, p.PlateSpaceLimit, p.PlateSpaceSharpness, p.FoldBackCurrent, p.Emission, p.EmissionSharpness, p.WorkFunctionElectronVolts,
            p.RatedTemperatureKelvin, p.GasRatio, p.GridCathodeLeakSiemens, p.GridScreenLeakSiemens, p.GridPlateLeakSiemens, p.PlateCathodeLeakSiemens, model.TemperatureKelvin);
        Line([.. fitted.Select(k => (double)k)]);
        Line([.. fitted.Select(k => TubeCoordinates.IsLogarithm(ScriptOrder[k]!.Value) ? 1.0 : 0)]);
        Line([.. fitted.Select(k => TubeCoordinates.Coordinate(p, ScriptOrder[k]!.Value))]);
        Line([.. fitted.Select(k => ConstantPriors.Width(ScriptOrder[k]!.Value))]);
        foreach (var pass in Problem(runs).Passes)
        {
            var c = pass.Run.Connection;
            var triode = c.Kind == ConnectionKind.Triode;
            Line(triode ? 1 : 0, c.GridStopper.Value, c.ScreenResistor.Value, c.PlateResistor.Value, pass.Rail[0], pass.Channels[0].Scatter, pass.Channels[1].Scatter, triode ? 1 : pass.Channels[2].Scatter);
            Line(pass.Drive);
            Line(pass.Channels[0].Volts);
            Line(pass.Channels[1].Volts);
            Line(triode ? [] : pass.Channels[2].Volts);
        }
        return text.ToString();

        void Line(params double[] values) => text.AppendLine(string.Join(' ', values.Select(v => v.ToString("R", CultureInfo.InvariantCulture))));
    }
}
