using SweepRig.Analysis.Smoothing;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// The most extreme of many estimates is the luckiest one. So the place is chosen by what each estimate surely reaches, which does not reward
/// uncertainty, and the spread of the estimates that could as well have been chosen is added to its uncertainty.
/// </summary>
internal static class Extreme
{
    /// <param name="output">The smoothed trace, not empty.</param>
    /// <param name="height">What is to be largest, of a smoothed value.</param>
    /// <returns>The place, the estimate there, and the mean of those that could as well have been chosen.</returns>
    public static (int At, Estimate Value, double Mean) Of(Smoother output, Func<double, double> height)
    {
        var at = 0;
        for (var i = 1; i < output.Trace.Count; i++)
        {
            if (Sure(output.Value(i), height) > Sure(output.Value(at), height)) at = i;
        }
        var (first, last) = Alike(output, at);
        double sum = 0, squares = 0;
        var best = output.Value(at);
        for (var i = first; i <= last; i++)
        {
            var apart = output.Value(i).Value - best.Value;
            sum += apart;
            squares += apart * apart;
        }
        var count = last - first + 1;
        var spread = Math.Sqrt(Math.Max(0, squares / count - sum / count * (sum / count)));
        return (at, best with { Sigma = Smoother.Hypot(best.Sigma, spread) }, best.Value + sum / count);
    }

    /// <summary>The stretch around a point whose values cannot be told from its own.</summary>
    public static (int First, int Last) Alike(Smoother output, int at)
    {
        var (segmentFirst, segmentLast) = output.Trace.Segment(at);
        var own = output.Value(at);
        bool Same(int i) => Math.Abs(output.Value(i).Value - own.Value) <= 2 * Smoother.Hypot(output.Value(i).Sigma, own.Sigma);
        var first = at;
        while (first > segmentFirst && Same(first - 1)) first--;
        var last = at;
        while (last < segmentLast && Same(last + 1)) last++;
        return (first, last);
    }

    private static double Sure(Estimate value, Func<double, double> height) => height(value.Value) - 3 * value.Sigma;
}
