using MathNet.Numerics.LinearAlgebra;

namespace SweepRig.Logic.Solving;

/// <summary>Whether a balance holds by itself, and how soon a small disturbance is gone.</summary>
/// <remarks>
/// Small disturbances follow C dv/dt = -J v. The eigenvalues mu of J^-1 C are the time constants of its parts: all of them on the right half plane means that every
/// disturbance dies away. This form needs no capacitance at every node: nodes without one follow at once, with mu = 0.
/// </remarks>
internal static class Stability
{
    /// <param name="IsStable">Every disturbance dies away.</param>
    /// <param name="SlowestSeconds">The longest of the time constants, by magnitude.</param>
    public readonly record struct Verdict(bool IsStable, double SlowestSeconds);

    /// <param name="newton">At a balance, just found.</param>
    public static Verdict Of(Newton newton, double seconds)
    {
        var equations = newton.Equations;
        var factors = equations.Values.Circuit.Pattern.Factors;
        var size = factors.Size;
        if (size == 0) return new(true, 0);
        equations.Evaluate(seconds, 1);
        var slopes = Matrix<double>.Build.DenseOfArray(factors.Dense(equations.Matrix));
        var circuit = equations.Values.Circuit;
        var stores = Matrix<double>.Build.Dense(size, size);
        for (var c = 0; c < circuit.Capacitors.Length; c++)
        {
            var (a, b) = circuit.Capacitors[c];
            int rowA = circuit.Pattern.RowOf[a], rowB = circuit.Pattern.RowOf[b];
            var farads = equations.Values.Farads[c];
            if (rowA < size) stores[rowA, rowA] += farads;
            if (rowB < size) stores[rowB, rowB] += farads;
            if (rowA >= size || rowB >= size) continue;
            stores[rowA, rowB] -= farads;
            stores[rowB, rowA] -= farads;
        }
        var times = slopes.Solve(stores).Evd().EigenValues;
        var slowest = times.Max(t => t.Magnitude);
        // A part a thousand million times quicker than the slowest is rounding of the one at 0.
        return new(times.All(t => t.Real > 0 || t.Magnitude <= 1e-9 * slowest), slowest);
    }
}
