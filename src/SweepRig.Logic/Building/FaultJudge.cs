using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Factorization;

namespace SweepRig.Logic.Building;

/// <summary>Tells how badly each fault of a dictionary fits readings at some of its points. What does not hang on what was read is worked out once.</summary>
internal sealed class FaultJudge
{
    private readonly int[] _at;
    private readonly Cholesky<double>?[] _covariances;

    /// <param name="at">Point of each reading.</param>
    public FaultJudge(FaultDictionary dictionary, int[] at)
    {
        (Dictionary, _at) = (dictionary, at);
        _covariances = new Cholesky<double>?[dictionary.Faults.Count];
        Parallel.For(0, _covariances.Length, f => _covariances[f] = Covariance(dictionary.Faults[f]));
    }

    public FaultDictionary Dictionary { get; }

    /// <param name="fault">Place in the dictionary.</param>
    /// <param name="readings">One a point. Unit: V.</param>
    /// <returns>Chi-square and -2 log likelihood; infinite where the fault has no solution.</returns>
    public (double Misfit, double Likelihood) Judge(int fault, IReadOnlyList<double> readings)
    {
        if (_covariances[fault] is not { } covariance) return (double.PositiveInfinity, double.PositiveInfinity);
        var volts = Dictionary.Faults[fault].Volts;
        var apart = Vector<double>.Build.Dense(_at.Length, i => readings[i] - volts[_at[i]]);
        var misfit = apart.DotProduct(covariance.Solve(apart));
        return (misfit, misfit + covariance.DeterminantLn);
    }

    private Cholesky<double>? Covariance(FaultPrediction fault)
    {
        if (_at.Any(p => double.IsNaN(fault.Volts[p]))) return null;
        var follows = Matrix<double>.Build.Dense(_at.Length, fault.Follows[_at[0]].Length, (a, f) => fault.Follows[_at[a]][f]);
        var covariance = follows.TransposeAndMultiply(follows);
        for (var a = 0; a < _at.Length; a++)
        {
            var meter = Dictionary.Tolerances.Meter(fault.Volts[_at[a]]);
            covariance[a, a] += meter * meter;
        }
        return covariance.Cholesky();
    }
}
