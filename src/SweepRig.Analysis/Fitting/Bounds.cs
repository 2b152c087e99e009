using System.Globalization;

namespace SweepRig.Analysis.Fitting;

/// <summary>Lowest and highest value of each parameter.</summary>
internal sealed class Bounds
{
    private readonly double[] _lowest, _highest;

    public Bounds(FitOptions options, int count)
    {
        _lowest = Of(options.Lowest, count, double.NegativeInfinity);
        _highest = Of(options.Highest, count, double.PositiveInfinity);
        for (var j = 0; j < count; j++)
        {
            if (_lowest[j] <= _highest[j]) continue;
            throw new ArgumentException(string.Create(CultureInfo.InvariantCulture,
                $"Parameter {j} has the lowest value {_lowest[j]} and the highest {_highest[j]}; give a lowest value that is not above the highest."), nameof(options));
        }
    }

    public void Clamp(Span<double> point)
    {
        for (var j = 0; j < point.Length; j++) point[j] = Math.Min(Math.Max(point[j], _lowest[j]), _highest[j]);
    }

    /// <summary>Lowest and highest step from a point that lies within the bounds.</summary>
    public void Room(ReadOnlySpan<double> point, Span<double> low, Span<double> high)
    {
        for (var j = 0; j < point.Length; j++) (low[j], high[j]) = (_lowest[j] - point[j], _highest[j] - point[j]);
    }

    /// <summary>True when the parameter is at a bound and a step against the gradient would leave it, or cannot move at all.</summary>
    public bool Holds(int parameter, double value, double gradient) =>
        _lowest[parameter] == _highest[parameter]
        || (value <= _lowest[parameter] && gradient > 0)
        || (value >= _highest[parameter] && gradient < 0);

    public bool IsAt(int parameter, double value) => value <= _lowest[parameter] || value >= _highest[parameter];

    private static double[] Of(IReadOnlyList<double>? values, int count, double none)
    {
        var result = new double[count];
        Array.Fill(result, none);
        if (values is null) return result;
        if (values.Count != count) throw new ArgumentException($"There are {values.Count} bounds for {count} parameters; give one for each, infinite where there is none.");
        for (var j = 0; j < count; j++) result[j] = values[j];
        return result;
    }
}
