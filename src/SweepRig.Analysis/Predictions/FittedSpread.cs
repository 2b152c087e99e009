using MathNet.Numerics.LinearAlgebra;
using SweepRig.Analysis.Models;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Predictions;

/// <summary>How readings of a problem move with everything that a fit leaves unknown: constants, calibration, resistors.</summary>
/// <remarks>
/// Unknowns of the measurement that the fit has met keep what it learned of them and their correlation with the constants, so that an error that all
/// readings of a bench share is counted once. A resistor that is new has its own tolerance.
/// </remarks>
internal sealed class FittedSpread
{
    private static readonly int Coordinates = TubeCoordinates.All.Count;

    private readonly Matrix<double> _root;

    private readonly int[] _places;
    private readonly int _fitted;

    private FittedSpread(double[] at, Matrix<double> root, int[] places, int fitted) => (At, _root, _places, _fitted) = (at, root, places, fitted);

    /// <summary>Parameters of the problem as the fit has them; what is new at 0.</summary>
    public double[] At { get; }

    /// <summary>Number of independent unknowns.</summary>
    public int Count => _root.ColumnCount;

    public static FittedSpread Of(TubeModelFit fit, TubeProblem problem)
    {
        var engine = fit.Engine!;
        var factor = Math.Max(1, fit.Scale * fit.Scale);
        var n = problem.ParameterCount;
        var at = new double[n];
        var places = new int[n];
        for (var k = 0; k < n; k++)
        {
            places[k] = k < Coordinates ? k : Known(fit, problem.Nuisances[k - Coordinates]);
            if (places[k] >= 0) at[k] = engine.Parameters[places[k]];
        }
        var covariance = Matrix<double>.Build.Dense(n, n, (a, b) =>
            places[a] >= 0 && places[b] >= 0 ? factor * engine.Decomposition!.Covariance(places[a], places[b]) : a == b ? 1 : 0);
        // Constants differ by powers of ten: a root of the correlations, then the scale back.
        var u = Vector<double>.Build.Dense(n, k => Math.Sqrt(Math.Max(0, covariance[k, k])));
        var correlation = Matrix<double>.Build.Dense(n, n, (a, b) => u[a] > 0 && u[b] > 0 ? covariance[a, b] / (u[a] * u[b]) : a == b ? 1 : 0);
        var evd = correlation.Evd(Symmetricity.Symmetric);
        var root = Matrix<double>.Build.Dense(n, n, (a, k) => u[a] * evd.EigenVectors[a, k] * Math.Sqrt(Math.Max(0, evd.EigenValues[k].Real)));
        return new(at, root, places, engine.Parameters.Length);
    }

    /// <summary>What each independent unknown of unit variance does to one residual.</summary>
    /// <param name="jacobian">Column after column.</param>
    /// <param name="rows">Length of a column.</param>
    /// <param name="row">Which.</param>
    public double[] Effects(double[] jacobian, int rows, int row)
    {
        var effects = new double[Count];
        for (var a = 0; a < At.Length; a++)
        {
            var slope = jacobian[a * rows + row];
            if (slope == 0) continue;
            for (var k = 0; k < effects.Length; k++) effects[k] += slope * _root[a, k];
        }
        return effects;
    }

    /// <summary>What each independent unknown of unit variance does to a quantity.</summary>
    /// <param name="gradient">By each parameter of the problem.</param>
    public double[] Effects(double[] gradient) => Effects(gradient, 1, 0);

    /// <summary>The same gradient by the parameters of the fit; what is new to it has no part.</summary>
    public double[] ByFitted(double[] gradient)
    {
        var fitted = new double[_fitted];
        for (var k = 0; k < gradient.Length; k++)
            if (_places[k] >= 0) fitted[_places[k]] += gradient[k];
        return fitted;
    }

    private static int Known(TubeModelFit fit, Nuisance nuisance)
    {
        var all = fit.Problem!.Nuisances;
        for (var k = 0; k < all.Count; k++)
            if (all[k] == nuisance) return Coordinates + k;
        return -1;
    }
}
