namespace SweepRig.Analysis.Fitting;

/// <summary>Mean, standard deviation and lag-1 autocorrelation of readings in their order.</summary>
/// <remarks>Reckoned from differences against the first reading, which are exact for readings near each other: readings that differ in their last digits
/// alone keep what their binary form holds of the difference.</remarks>
/// <param name="Count">Readings.</param>
/// <param name="Mean">NaN without readings.</param>
/// <param name="Deviation">With n - 1 below the line; NaN below two readings.</param>
/// <param name="Autocorrelation">Lag 1, sum of neighbouring products over sum of squares; NaN when all readings are equal or there are fewer than two.</param>
public readonly record struct SampleMoments(int Count, double Mean, double Deviation, double Autocorrelation)
{
    public static SampleMoments Of(ReadOnlySpan<double> readings)
    {
        var n = readings.Length;
        if (n == 0) return new(0, double.NaN, double.NaN, double.NaN);
        var first = readings[0];
        var shift = new CompensatedSum();
        foreach (var reading in readings) shift.Add(reading - first);
        var mean = shift.Value / n;
        CompensatedSum rest = new(), squares = new(), products = new();
        var before = 0.0;
        for (var i = 0; i < n; i++)
        {
            var deviation = readings[i] - first - mean;
            rest.Add(deviation);
            squares.Add(deviation * deviation);
            if (i > 0) products.Add(deviation * before);
            before = deviation;
        }
        // What rounding of the mean leaves is taken out (Chan, Golub and LeVeque 1983, Am. Statist. 37, 242).
        var sum = squares.Value - rest.Value * rest.Value / n;
        return new(n, first + mean, n > 1 ? Math.Sqrt(Math.Max(0, sum) / (n - 1)) : double.NaN, n > 1 && sum > 0 ? products.Value / sum : double.NaN);
    }
}
