using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Predictions;

/// <summary>A sweep that nobody has made, as the readings that a bench would take of a fitted tube, with everything that the fit leaves unknown.</summary>
internal sealed class PredictedReadings
{
    private readonly TubeProblem _problem;
    private readonly double[] _residuals, _jacobian;

    private PredictedReadings(PassData pass, TubeProblem problem, FittedSpread spread, double rail)
    {
        (Pass, _problem, Spread, RailVolts) = (pass, problem, spread, rail);
        _residuals = new double[problem.ResidualCount];
        _jacobian = new double[problem.ResidualCount * problem.ParameterCount];
    }

    /// <param name="fit">Not a refused one.</param>
    /// <param name="connection">What is asked for.</param>
    /// <param name="known">What the calibration leaves unknown with that connection's resistors.</param>
    /// <param name="sweep">Drives.</param>
    /// <returns>Null when the model has no solution there.</returns>
    /// <exception cref="ArgumentException">The fit was refused.</exception>
    public static PredictedReadings? Of(TubeModelFit fit, Connection connection, MeasurementUncertainty known, PlannedSweep sweep)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(connection);
        if (fit.Problem is null || fit.Engine is null) throw new ArgumentException("The fit was refused and predicts nothing; look at its findings.", nameof(fit));
        var rail = connection.PlateRail.Value * RailOffPlan(fit);
        var asked = sweep with { Connection = connection with { PlateRail = new(rail) } };
        var scatter = Math.Max(1, fit.Scale) * fit.Problem.Passes.Max(p => p.Channels[0].Scatter);
        var pass = PassData.Planned(new ModelRun("prediction", asked.Connection, [], known), asked, _ => scatter);
        var problem = new TubeProblem([pass], fit.Tube!);
        PredictedReadings readings = new(pass, problem, FittedSpread.Of(fit, problem), rail);
        // First the voltages at the pins; then, with these in the place of readings, what the unknowns of the measurement make of them.
        if (!problem.Evaluate(readings.Spread.At, readings._residuals, [])) return null;
        pass.FillWithPredictions();
        return problem.Evaluate(readings.Spread.At, readings._residuals, readings._jacobian) ? readings : null;
    }

    public PassData Pass { get; }

    public FittedSpread Spread { get; }

    /// <summary>The rail asked for, off by as much as that of the runs was off its plan.</summary>
    public double RailVolts { get; }

    /// <summary>Standard deviation to be expected of a single reading, volts.</summary>
    public double ScatterVolts => Pass.Channels[0].Scatter;

    /// <summary>Output to be read at a point, volts.</summary>
    public double Plate(int point) => Pass.Channels[0].Volts[point] + ScatterVolts * _residuals[point];

    /// <summary>What each independent unknown of unit variance does to it, in units of the scatter.</summary>
    public double[] PlateEffects(int point) => Spread.Effects(_jacobian, _problem.ResidualCount, point);

    /// <summary>Derivatives of the output to be read at a point by the parameters of the problem, volts.</summary>
    public double[] PlateGradient(int point) =>
        [.. Enumerable.Range(0, _problem.ParameterCount).Select(k => ScatterVolts * _jacobian[k * _problem.ResidualCount + point])];

    /// <summary>Output to be read, and the gain at the pins, at every point for other parameters; null where the model has no solution.</summary>
    public (double[] Plate, double[] Gain)? With(double[] parameters)
    {
        var residuals = new double[_problem.ResidualCount];
        if (!_problem.Evaluate(parameters, residuals, [])) return null;
        Pass.Sweep.Differentiate(new TubeModel(_problem.Tube(parameters), new Volts(Pass.Heater)));
        var (grid, screen, gain) = (new double[Pass.Count], new double[Pass.Count], new double[Pass.Count]);
        Pass.Sweep.ByDrive(grid, screen, gain);
        return ([.. Enumerable.Range(0, Pass.Count).Select(i => Pass.Channels[0].Volts[i] + ScatterVolts * residuals[i])], gain);
    }

    // A supply that stands at 27.9 V for a plan of 28 V will do so again.
    private static double RailOffPlan(TubeModelFit fit)
    {
        var first = fit.Problem!.Passes[0];
        return first.Run.Stepped is null ? first.Rail.Average() / first.Run.Connection.PlateRail.Value : 1;
    }
}
