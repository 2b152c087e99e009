using MathNet.Numerics.LinearAlgebra;
using SweepRig.Domain.Measurement;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>What further sweeps would add to what a fit knows: information matrices of the model at the fitted tube (optimal design; Fedorov 1972, from memory).</summary>
internal sealed class SweepDesign
{
    private static readonly int Coordinates = TubeCoordinates.All.Count;

    // What is expected is reckoned at constants that are not known yet; a sweep is relied on only when it would do twice as well as needed.
    private const double Margin = 0.5;

    private readonly TubeModelFit _fit;
    private readonly int[] _free;
    private readonly Matrix<double> _known;

    private SweepDesign(TubeModelFit fit)
    {
        _fit = fit;
        var engine = fit.Engine!;
        _free = [.. Enumerable.Range(0, engine.Parameters.Length).Where(k => engine.Decomposition!.Effect[k] > 0)];
        var factor = 1 / Math.Max(1, fit.Scale * fit.Scale);
        _known = Matrix<double>.Build.Dense(_free.Length, _free.Length, (a, b) => factor * engine.Decomposition!.Information(_free[a], _free[b]));
    }

    public static SweepDesign Of(TubeModelFit fit) => new(fit);

    /// <summary>Covariance of the tube's coordinates (row after row) after a further sweep; null when the model cannot be solved there.</summary>
    public double[]? After(PlannedSweep sweep) => Added(sweep) is { } added ? Covariance(_known + added) : null;

    /// <summary>The least sweep that would determine a constant: without positive drive where one is enough.</summary>
    public NeededSweep Needed(TubeParameter constant)
    {
        var pass = _fit.Problem!.Passes[0];
        var limit = ConstantPriors.Determined * ConstantPriors.Width(constant);
        var lowest = _fit.Range!.LowestDrive;
        NeededSweep? best = null;
        var least = double.PositiveInfinity;
        foreach (var candidate in SweepCandidates.Around(pass.Run.Connection, lowest, pass.Run.Connection.PlateRail.Value))
        {
            if (After(candidate) is not { } covariance) continue;
            var u = Math.Sqrt(covariance[(int)constant * (Coordinates + 1)]);
            if (u < Margin * limit && !candidate.NeedsPermit) return new(candidate, Says(candidate, constant, u));
            if (u < least) (least, best) = (u, new(candidate, Says(candidate, constant, u)));
        }
        return least < limit ? best! : new(null, "no single sweep at this rail determines it; a higher rail would, or data of the type must stand in");
    }

    private static string Says(PlannedSweep sweep, TubeParameter constant, double u) => TubeCoordinates.IsLogarithm(constant)
        ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{sweep}; expected to tell it to {100 * u:0.#} %")
        : $"{sweep}; expected to tell it to {Domain.Quantities.Engineering.Format(u, TubeCoordinates.Unit(constant), 2)}";

    /// <summary>Information that a sweep adds, in the order of the free parameters of the fit.</summary>
    private Matrix<double>? Added(PlannedSweep sweep)
    {
        var first = _fit.Problem!.Passes[0];
        var run = first.Run with
        {
            Connection = sweep.Connection,
            Known = first.Run.Known with { Resistors = [.. first.Run.Known.Resistors.Select(r => Resistor(r, sweep))] },
        };
        var planned = PassData.Planned(run, sweep, place => Scatter(place));
        var problem = new TubeProblem([planned], _fit.Tube!);
        var at = new double[problem.ParameterCount];
        _fit.Engine!.Parameters.AsSpan(0, Coordinates).CopyTo(at);
        var residuals = new double[problem.ResidualCount];
        var jacobian = new double[problem.ResidualCount * problem.ParameterCount];
        if (!problem.Evaluate(at, residuals, [])) return null;
        planned.FillWithPredictions();
        if (!problem.Evaluate(at, residuals, jacobian)) return null;

        // Unknowns of the measurement that the fit has met are the same ones; those of a new resistor are given their prior and counted out.
        var places = new int[problem.ParameterCount];
        List<Nuisance> fresh = [];
        for (var k = 0; k < places.Length; k++)
        {
            if (k < Coordinates) places[k] = Array.IndexOf(_free, k);
            else
            {
                var known = IndexOf(_fit.Problem.Nuisances, problem.Nuisances[k - Coordinates]);
                places[k] = known >= 0 ? Array.IndexOf(_free, Coordinates + known) : _free.Length + fresh.Count;
                if (known < 0) fresh.Add(problem.Nuisances[k - Coordinates]);
            }
        }
        var all = Matrix<double>.Build.Dense(_free.Length + fresh.Count, _free.Length + fresh.Count);
        for (var k = _free.Length; k < all.RowCount; k++) all[k, k] = 1;
        for (var a = 0; a < places.Length; a++)
            for (var b = 0; b < places.Length; b++)
            {
                if (places[a] < 0 || places[b] < 0) continue;
                all[places[a], places[b]] += Fitting.Vectors.Dot(
                    jacobian.AsSpan(a * problem.ResidualCount, problem.Readings), jacobian.AsSpan(b * problem.ResidualCount, problem.Readings));
            }
        return CountedOut(all, fresh.Count);
    }

    // Schur complement: what is left of the information when the last parameters are not known.
    private static Matrix<double> CountedOut(Matrix<double> all, int last)
    {
        if (last == 0) return all;
        var n = all.RowCount - last;
        var across = all.SubMatrix(0, n, n, last);
        return all.SubMatrix(0, n, 0, n) - across * all.SubMatrix(n, last, n, last).Cholesky().Solve(across.Transpose());
    }

    private double[] Covariance(Matrix<double> information)
    {
        var inverse = information.Cholesky().Solve(Matrix<double>.Build.DenseIdentity(information.RowCount));
        var result = new double[Coordinates * Coordinates];
        for (var a = 0; a < _free.Length && _free[a] < Coordinates; a++)
            for (var b = 0; b < _free.Length && _free[b] < Coordinates; b++) result[_free[a] * Coordinates + _free[b]] = inverse[a, b];
        return result;
    }

    // Readings to come scatter like the worst of those seen.
    private double Scatter(VoltagePlace place)
    {
        double most = 0, any = 0;
        foreach (var pass in _fit.Problem!.Passes)
            foreach (var channel in pass.Channels)
            {
                any = Math.Max(any, channel.Scatter);
                if (channel.Place == place) most = Math.Max(most, channel.Scatter);
            }
        return Math.Max(1, _fit.Scale) * (most > 0 ? most : any);
    }

    private static ResistorUncertainty Resistor(ResistorUncertainty known, PlannedSweep sweep)
    {
        var ohms = known.Place switch
        {
            Domain.Rigs.ResistorPlace.Plate => sweep.Connection.PlateResistor.Value,
            Domain.Rigs.ResistorPlace.Screen => sweep.Connection.ScreenResistor.Value,
            _ => sweep.Connection.GridStopper.Value,
        };
        // A resistor that is exactly known stands for a bench where all are.
        return ohms == known.Ohms ? known : known.UncertaintyOhms == 0 ? known with { Ohms = ohms } : ResistorUncertainty.Planned(known.Place, ohms);
    }

    private static int IndexOf(IReadOnlyList<Nuisance> all, Nuisance one)
    {
        for (var k = 0; k < all.Count; k++)
            if (all[k] == one) return k;
        return -1;
    }
}
