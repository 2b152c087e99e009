using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Health;

/// <summary>The output at one drive over time, with a straight line and the mains frequency taken out by least squares.</summary>
internal sealed class Quietness
{
    private const int LeastSamples = 200;

    private static readonly double[] Mains = [50, 60];

    private readonly double[] _seconds, _left;

    private Quietness(double[] seconds, double[] left, double residual, double hertz, double amplitude, double uncertainty)
    {
        (_seconds, _left) = (seconds, left);
        (Residual, Hertz, Amplitude, AmplitudeUncertainty) = (residual, hertz, amplitude, uncertainty);
    }

    /// <summary>Root mean square of what is left, V.</summary>
    public double Residual { get; }

    public int Count => _left.Length;

    /// <summary>50 or 60.</summary>
    public double Hertz { get; }

    /// <summary>Of the mains component, V.</summary>
    public double Amplitude { get; }

    public double AmplitudeUncertainty { get; }

    /// <summary>Null when there are too few samples.</summary>
    public static Quietness? Of(Curve curve, int first, int end)
    {
        // The first hundredth of a second belongs to the step.
        var there = Enumerable.Range(first, end - first).Where(i => !double.IsNaN(curve.Plate[i]) && curve.SampledAtTicks[i] != 0).Skip(20).ToArray();
        if (there.Length < LeastSamples) return null;
        var from = curve.SampledAtTicks[there[0]];
        var seconds = there.Select(i => (curve.SampledAtTicks[i] - from) * 1e-6).ToArray();
        var volts = there.Select(i => curve.Plate[i]).ToArray();
        return Mains.Select(hertz => At(seconds, volts, hertz)).OfType<Quietness>().MaxBy(q => q.Amplitude);
    }

    /// <summary>Largest root mean square within windows of that length, V.</summary>
    public double LoudestWindow(double windowSeconds)
    {
        double loudest = 0, sum = 0;
        var first = 0;
        for (var i = 0; i < _left.Length; i++)
        {
            sum += _left[i] * _left[i];
            while (_seconds[i] - _seconds[first] > windowSeconds) sum -= _left[first] * _left[first++];
            if (_seconds[i] - _seconds[0] >= windowSeconds) loudest = Math.Max(loudest, sum / (i - first + 1));
        }
        return Math.Sqrt(Math.Max(0, loudest));
    }

    private static Quietness? At(double[] seconds, double[] volts, double hertz)
    {
        var w = 2 * Math.PI * hertz;
        var rows = seconds.Select(t => new[] { 1, t + 1e-9, Math.Sin(w * t), Math.Cos(w * t) }).ToArray();
        if (LinearFit.Of(rows, volts) is not { } fit) return null;
        var left = rows.Select((r, i) => volts[i] - r[0] * fit.Values[0] - r[1] * fit.Values[1] - r[2] * fit.Values[2] - r[3] * fit.Values[3]).ToArray();
        return new(seconds, left, fit.ResidualDeviation, hertz, Math.Sqrt(fit.Values[2] * fit.Values[2] + fit.Values[3] * fit.Values[3]), Math.Max(fit.Uncertainties[2], fit.Uncertainties[3]));
    }
}
