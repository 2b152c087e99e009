using MathNet.Numerics.Distributions;
using SweepRig.Analysis.Health;

namespace SweepRig.Analysis.Studies;

/// <summary>How fast a quantity moves: a straight line through values in time.</summary>
public static class DriftRate
{
    public const int LeastValues = 4;

    /// <summary>Slope of a weighted line, in the unit of the values an hour, with the Student factor of its degrees of freedom.</summary>
    /// <param name="hours">When.</param>
    /// <param name="values">With their standard uncertainties, which are enlarged where the values scatter by more.</param>
    /// <param name="unit">Of a value, as an SI symbol.</param>
    public static Figure Of(IReadOnlyList<double> hours, IReadOnlyList<Figure> values, string unit)
    {
        ArgumentNullException.ThrowIfNull(hours);
        ArgumentNullException.ThrowIfNull(values);
        var known = Enumerable.Range(0, hours.Count).Where(i => values[i].Value is not null).ToArray();
        if (known.Length < LeastValues) return Figure.None($"{unit}/h", $"{known.Length} values; {LeastValues} or more are needed");
        double[] sigmas = [.. known.Select(i => values[i].Uncertainty ?? 0)];
        var fit = LinearFit.Of(
            [.. known.Select(i => new[] { 1, hours[i] - hours[known[0]] })], [.. known.Select(i => values[i].Value!.Value)], sigmas.All(s => s > 0) ? sigmas : null);
        return fit is null
            ? Figure.None($"{unit}/h", "all values are from one moment")
            : Figure.Of(fit.Values[1], $"{unit}/h", fit.Uncertainties[1]) with { CoverageFactor = StudentT.InvCDF(0, 1, known.Length - 2, 0.975) };
    }
}
