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

    // Places of the parameters of the fit that are not held; those of the tube come first. Matrices below are by these.
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

    /// <summary>Covariance of what the fit leaves unknown, as it stands.</summary>
    public Matrix<double> Now => Inverse(_known);

    /// <summary>The same after a further sweep; null when the model cannot be solved there.</summary>
    public Matrix<double>? After(PlannedSweep sweep) => Added(sweep) is { } added ? Inverse(_known + added) : null;

    /// <summary>Standard uncertainty of a quantity.</summary>
    /// <param name="gradient">By the parameters of the fit.</param>
    public double Uncertainty(Matrix<double> covariance, double[] gradient)
    {
        var wanted = Wanted(gradient);
        return Math.Sqrt(Math.Max(0, wanted * covariance * wanted));
    }

    /// <summary>Geometric mean of the uncertainties of the tube's coordinates, correlations heeded: the 2n-th root of the determinant of their covariance.</summary>
    public double Mean(Matrix<double> covariance)
    {
        var n = _free.Count(k => k < Coordinates);
        return Math.Exp(covariance.SubMatrix(0, n, 0, n).Cholesky().DeterminantLn / (2 * n));
    }

    /// <summary>Derivatives of a constant by the parameters of the fit, in its unit.</summary>
    public double[] Constant(TubeParameter constant)
    {
        var gradient = new double[_fit.Engine!.Parameters.Length];
        gradient[(int)constant] = TubeCoordinates.IsLogarithm(constant) ? TubeCoordinates.Value(_fit.Tube!, constant) : 1;
        return gradient;
    }

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
            var place = Array.IndexOf(_free, (int)constant);
            var u = place < 0 ? 0 : Math.Sqrt(covariance[place, place]);
            if (u < Margin * limit && !candidate.NeedsPermit) return new(candidate, Says(candidate, constant, u));
            if (u < least) (least, best) = (u, new(candidate, Says(candidate, constant, u)));
        }
        return least < limit ? best! : new(null, "no single sweep at this rail determines it; a higher rail would, or data of the type must stand in");
    }

    private static string Says(PlannedSweep sweep, TubeParameter constant, double u) => TubeCoordinates.IsLogarithm(constant)
        ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{sweep}; expected to tell it to {100 * u:0.#} %")
        : $"{sweep}; expected to tell it to {Absolute(u, TubeCoordinates.Unit(constant))}";

    /// <summary>Of the drives of a sweep those that, measured once each, shrink the uncertainty of a quantity most; one by one, each given those before.</summary>
    /// <param name="gradient">Of the quantity by the parameters of the fit.</param>
    /// <param name="count">How many.</param>
    /// <returns>Null when the model cannot be solved there.</returns>
    public double[]? BestDrives(PlannedSweep sweep, double[] gradient, int count)
    {
        if (Evaluated(sweep) is not { } found) return null;
        var readings = found.Readings(_free.Length);
        var wanted = Wanted(gradient);
        var covariance = Now;
        var chosen = new double[count];
        for (var n = 0; n < count; n++)
        {
            var along = covariance * wanted;
            var best = Enumerable.Range(0, readings.Length).MaxBy(i => Gain(covariance, along, readings[i]));
            chosen[n] = sweep.Drives[best];
            covariance = Updated(covariance, readings[best]);
        }
        return chosen;
    }

    // What one point takes off the variance c^T C c: with its readings as rows A, c^T C A^T (1 + A C A^T)^-1 A C c.
    private static double Gain(Matrix<double> covariance, Vector<double> along, Matrix<double> readings)
    {
        var seen = readings * along;
        return seen * (Matrix<double>.Build.DenseIdentity(readings.RowCount) + readings * covariance * readings.Transpose()).Cholesky().Solve(seen);
    }

    private static Matrix<double> Updated(Matrix<double> covariance, Matrix<double> readings)
    {
        var across = readings * covariance;
        return covariance - across.Transpose() * (Matrix<double>.Build.DenseIdentity(readings.RowCount) + across * readings.Transpose()).Cholesky().Solve(across);
    }

    private Vector<double> Wanted(double[] gradient) => Vector<double>.Build.Dense(_free.Length, k => gradient[_free[k]]);

    private static Matrix<double> Inverse(Matrix<double> information) => information.Cholesky().Solve(Matrix<double>.Build.DenseIdentity(information.RowCount));

    /// <summary>A sweep's own problem, solved at the fitted tube.</summary>
    /// <param name="Jacobian">Column after column.</param>
    /// <param name="Places">Where each of its parameters stands among the free ones of the fit: -1 for one that is held, beyond them for a new unknown.</param>
    /// <param name="Fresh">New unknowns.</param>
    private sealed record Solved(TubeProblem Problem, double[] Jacobian, int[] Places, int Fresh)
    {
        /// <summary>Derivatives of the readings point by point: a row a channel, a column a free parameter of the fit.</summary>
        public Matrix<double>[] Readings(int free)
        {
            var pass = Problem.Passes[0];
            return [.. Enumerable.Range(0, pass.Count).Select(point =>
            {
                var rows = Matrix<double>.Build.Dense(pass.Channels.Count, free);
                for (var k = 0; k < Places.Length; k++)
                    for (var c = 0; c < rows.RowCount && Places[k] >= 0 && Places[k] < free; c++) rows[c, Places[k]] += Jacobian[k * Problem.ResidualCount + c * pass.Count + point];
                return rows;
            })];
        }
    }

    /// <summary>Information that a sweep adds, in the order of the free parameters of the fit.</summary>
    private Matrix<double>? Added(PlannedSweep sweep)
    {
        if (Evaluated(sweep) is not var (problem, jacobian, places, fresh)) return null;
        var all = Matrix<double>.Build.Dense(_free.Length + fresh, _free.Length + fresh);
        for (var k = _free.Length; k < all.RowCount; k++) all[k, k] = 1;
        for (var a = 0; a < places.Length; a++)
            for (var b = 0; b < places.Length; b++)
            {
                if (places[a] < 0 || places[b] < 0) continue;
                all[places[a], places[b]] += Fitting.Vectors.Dot(
                    jacobian.AsSpan(a * problem.ResidualCount, problem.Readings), jacobian.AsSpan(b * problem.ResidualCount, problem.Readings));
            }
        return CountedOut(all, fresh);
    }

    private Solved? Evaluated(PlannedSweep sweep)
    {
        var first = _fit.Problem!.Passes[0];
        var run = first.Run with
        {
            Connection = sweep.Connection,
            Known = first.Run.Known with { Resistors = [.. first.Run.Known.Resistors.Select(r => Resistor(r, sweep))] },
        };
        var planned = PassData.Planned(run, sweep, Scatter);
        var problem = new TubeProblem([planned], _fit.Tube!);
        var at = new double[problem.ParameterCount];
        _fit.Engine!.Parameters.AsSpan(0, Coordinates).CopyTo(at);
        var residuals = new double[problem.ResidualCount];
        var jacobian = new double[problem.ResidualCount * problem.ParameterCount];
        if (!problem.Evaluate(at, residuals, [])) return null;
        planned.FillWithPredictions();
        if (!problem.Evaluate(at, residuals, jacobian)) return null;

        // Unknowns of the measurement that the fit has met are the same ones; those of a new resistor have their prior and are counted out.
        var places = new int[problem.ParameterCount];
        var fresh = 0;
        for (var k = 0; k < places.Length; k++)
        {
            var known = k < Coordinates ? k : IndexOf(_fit.Problem.Nuisances, problem.Nuisances[k - Coordinates]) is >= 0 and var n ? Coordinates + n : -1;
            places[k] = known >= 0 ? Array.IndexOf(_free, known) : _free.Length + fresh++;
        }
        return new(problem, jacobian, places, fresh);
    }

    // Schur complement: what is left of the information when the last parameters are not known.
    private static Matrix<double> CountedOut(Matrix<double> all, int last)
    {
        if (last == 0) return all;
        var n = all.RowCount - last;
        var across = all.SubMatrix(0, n, n, last);
        return all.SubMatrix(0, n, 0, n) - across * all.SubMatrix(n, last, n, last).Cholesky().Solve(across.Transpose());
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

    private static string Absolute(double u, string unit) => unit == "1" ? u.ToString("G2", System.Globalization.CultureInfo.InvariantCulture) : Domain.Quantities.Engineering.Format(u, unit, 2);
}
