using MathNet.Numerics.Distributions;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>
/// What a tube's reference sweep was before anything was done to it, from several of them, so that a later one can be held against it.
/// </summary>
/// <remarks>
/// With D the drop over the plate resistor at a point, m its mean over the baseline and s = dm/d(drive), a later sweep is taken as D - m = s·shift + m·scale + e. The variance of e
/// comes from what is left over of the baseline. Shift and scale together are tested by q = θᵀ(C + (1 + 1/n)U)⁻¹θ, which is chi-squared with 2 degrees of freedom; C is their covariance
/// by the readings, U how much they vary from sweep to sweep in the baseline. What is left over is tested by the ratio of variances (Fisher's F). A change that is not small departs from
/// the linear form: beyond 5 mV of shift the curve itself is moved and the fit made again about it.
/// </remarks>
public sealed class RepeatBaseline
{
    /// <summary>Sweeps below which nothing is known of how the tube repeats.</summary>
    public const int LeastSweeps = 3;

    /// <summary>Points below which a sweep tells too little.</summary>
    public const int LeastPoints = 10;

    /// <summary>
    /// A tube is never believed to repeat better than this: a few sweeps in a row do not see what minutes bring. Sound simulated tubes wander by 0.1 to 0.8 mV (illustrative); common
    /// practice, no source.
    /// </summary>
    public const double LeastShiftVolts = 1e-3, LeastScale = 1e-3;

    /// <summary>Beyond this the curve is moved along with the shift, V.</summary>
    private const double Linear = 5e-3;

    private const int MostRounds = 20;

    private readonly double[] _drive, _mean, _slopes, _variances;
    private readonly int[] _points;
    private readonly int _sweeps;
    private readonly double _falseAlarms;
    private readonly double _shiftVariance, _scaleVariance;

    private RepeatBaseline(double[] drive, double[] mean, double[] slopes, int[] points, double[] variances, Moves[] moves, double falseAlarms)
    {
        _drive = drive;
        (_mean, _slopes, _points, _variances, _sweeps, _falseAlarms) = (mean, slopes, points, variances, moves.Length, falseAlarms);
        var own = Information(1).Invert();
        ShiftDeviation = Between(moves, m => m.Shift, own.Shift);
        var scale = Between(moves, m => m.Scale, own.Scale);
        // So few sweeps may show less than there is: the quantile of F over that of chi-squared makes up for it.
        var alpha = falseAlarms / 2;
        var enlarge = 2 * FisherQuantile(alpha, moves.Length - 1) / ChiSquaredQuantile(alpha);
        _shiftVariance = Math.Max(LeastShiftVolts * LeastShiftVolts, enlarge * ShiftDeviation * ShiftDeviation);
        _scaleVariance = Math.Max(LeastScale * LeastScale, enlarge * scale * scale);
        SmallestShift = Math.Sqrt(ChiSquaredQuantile(alpha) * Total(own).Shift);
    }

    /// <summary>How far the sweeps of the baseline lie apart, as a standard deviation of the shift beyond what the readings explain, V.</summary>
    public double ShiftDeviation { get; }

    /// <summary>Least shift that fails by itself, V.</summary>
    public double SmallestShift { get; }

    /// <param name="sweeps">The same plan each time, <see cref="LeastSweeps"/> or more.</param>
    /// <param name="falseAlarms">Share of checks of an unchanged tube that may fail, above 0 and below 0.5.</param>
    /// <returns>Null where fewer than <see cref="LeastPoints"/> points are usable in all of them.</returns>
    /// <exception cref="ArgumentException">Too few sweeps, or of different length.</exception>
    public static RepeatBaseline? Of(IReadOnlyList<Curve> sweeps, double falseAlarms)
    {
        ArgumentNullException.ThrowIfNull(sweeps);
        if (sweeps.Count < LeastSweeps || sweeps.Any(s => s.Count != sweeps[0].Count)) throw new ArgumentException($"SweepRig bug: a baseline needs {LeastSweeps} sweeps or more of one plan.", nameof(sweeps));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(falseAlarms);
        double[][] drops = [.. sweeps.Select(ReferenceColumns.Drops)];
        var mean = new double[sweeps[0].Count];
        for (var i = 0; i < mean.Length; i++) mean[i] = drops.Average(d => d[i]);
        var slopes = ReferenceColumns.Slopes(sweeps[0].Drive, mean);
        int[] points = [.. Enumerable.Range(0, mean.Length).Where(i => double.IsFinite(mean[i]) && double.IsFinite(slopes[i]))];
        if (points.Length < LeastPoints) return null;

        var variances = Enumerable.Repeat(1.0, mean.Length).ToArray();
        Moves[] moves = [];
        for (var round = 0; round < 3; round++)
        {
            moves = [.. drops.Select(d => Fit(d, mean, slopes, points, variances))];
            // Each sweep spends two, and the mean one more of each point.
            var share = (1 - 1.0 / sweeps.Count) * (1 - 2.0 / points.Length);
            List<double> at = [], squares = [];
            for (var k = 0; k < drops.Length; k++)
            {
                foreach (var i in points)
                {
                    at.Add(slopes[i]);
                    squares.Add(Math.Pow(drops[k][i] - mean[i] - slopes[i] * moves[k].Shift - mean[i] * moves[k].Scale, 2) / share);
                }
            }
            var found = ReadingVariance.Fit(at, squares);
            foreach (var i in points) variances[i] = found.At(slopes[i]);
        }
        return new(sweeps[0].Drive, mean, slopes, points, variances, moves, falseAlarms);
    }

    /// <summary>Holds a later sweep of the same plan against the baseline; null where most of its points are missing.</summary>
    public RepeatCheck? Check(Curve sweep)
    {
        ArgumentNullException.ThrowIfNull(sweep);
        var drops = ReferenceColumns.Drops(sweep);
        int[] seen = [.. _points.Where(i => double.IsFinite(drops[i]))];
        if (seen.Length < Math.Max(LeastPoints, _points.Length / 2)) return null;
        var (moved, residuals) = Move(drops, ref seen);
        var byReadings = Information(1 + 1.0 / _sweeps).Invert();
        var total = Total(byReadings);
        var determinant = total.Shift * total.Scale - total.Both * total.Both;
        var q = (moved.Shift * moved.Shift * total.Scale - 2 * moved.Shift * moved.Scale * total.Both + moved.Scale * moved.Scale * total.Shift) / determinant;
        var left = seen.Sum(i => residuals[i] * residuals[i] / (_variances[i] * (1 + 1.0 / _sweeps)));
        var (above, below) = (seen.Length - 2, (_sweeps - 1) * (_points.Length - 2));
        return new(
            Figure.Of(moved.Shift, "V", Math.Sqrt(total.Shift)), Figure.Of(100 * moved.Scale, "%", 100 * Math.Sqrt(total.Scale)),
            Math.Exp(-q / 2), 1 - FisherSnedecor.CDF(above, below, left / above), _falseAlarms);
    }

    /// <summary>Passed by a chi-squared number of 2 degrees of freedom with this chance: in closed form, as its density is an exponential.</summary>
    internal static double ChiSquaredQuantile(double chance) => -2 * Math.Log(chance);

    /// <summary>Passed by Fisher's F of 2 and so many degrees of freedom with this chance; in closed form too.</summary>
    internal static double FisherQuantile(double chance, int freedom) => freedom / 2.0 * (Math.Pow(chance, -2.0 / freedom) - 1);

    /// <summary>Shift and scale of a sweep, and what they leave over; points that the moved baseline does not reach are taken out of those seen.</summary>
    private (Moves Moved, double[] Left) Move(double[] drops, ref int[] seen)
    {
        var moved = Fit(drops, _mean, _slopes, seen, _variances);
        double[] left = [.. drops.Select((d, i) => d - _mean[i] - _slopes[i] * moved.Shift - _mean[i] * moved.Scale)];
        for (var round = 0; round < MostRounds && Math.Abs(moved.Shift) > Linear; round++)
        {
            var (values, slopes) = ReferenceColumns.Moved(_drive, _mean, _slopes, moved.Shift);
            int[] reached = [.. seen.Where(i => double.IsFinite(values[i]))];
            if (reached.Length < LeastPoints) break;
            // About the moved curve with its scale the change still to be made is small.
            var scale = 1 + moved.Scale;
            double[] about = [.. values.Select(v => v * scale)];
            var more = Fit(drops, about, [.. slopes.Select(s => s * scale)], reached, _variances);
            moved = new(moved.Shift + more.Shift, scale * (1 + more.Scale) - 1);
            (left, seen) = ([.. drops.Select((d, i) => d - about[i] - slopes[i] * scale * more.Shift - about[i] * more.Scale)], reached);
            if (Math.Abs(more.Shift) < 1e-5) break;
        }
        return (moved, left);
    }

    private Pair Total(Pair byReadings) => new(
        byReadings.Shift + (1 + 1.0 / _sweeps) * _shiftVariance, byReadings.Both, byReadings.Scale + (1 + 1.0 / _sweeps) * _scaleVariance);

    private Pair Information(double times)
    {
        Pair sum = default;
        foreach (var i in _points) sum = sum.Plus(_slopes[i], _mean[i], 1 / (_variances[i] * times));
        return sum;
    }

    private static Moves Fit(double[] drops, double[] mean, double[] slopes, int[] points, double[] variances)
    {
        Pair information = default;
        double onShift = 0, onScale = 0;
        foreach (var i in points)
        {
            var weight = 1 / variances[i];
            information = information.Plus(slopes[i], mean[i], weight);
            onShift += weight * slopes[i] * (drops[i] - mean[i]);
            onScale += weight * mean[i] * (drops[i] - mean[i]);
        }
        var c = information.Invert();
        return new(c.Shift * onShift + c.Both * onScale, c.Both * onShift + c.Scale * onScale);
    }

    private static double Between(Moves[] moves, Func<Moves, double> of, double byReadings)
    {
        var mean = moves.Average(of);
        var variance = moves.Sum(m => Math.Pow(of(m) - mean, 2)) / (moves.Length - 1);
        return Math.Sqrt(Math.Max(0, variance - byReadings));
    }

    private readonly record struct Moves(double Shift, double Scale);

    /// <summary>A symmetric matrix of two by two.</summary>
    private readonly record struct Pair(double Shift, double Both, double Scale)
    {
        public Pair Plus(double slope, double mean, double weight) =>
            new(Shift + weight * slope * slope, Both + weight * slope * mean, Scale + weight * mean * mean);

        /// <summary>The inverse; a tube without any slope or current tells neither, which is a variance without bound.</summary>
        public Pair Invert()
        {
            var determinant = Shift * Scale - Both * Both;
            return determinant > 1e-12 * Shift * Scale ? new(Scale / determinant, -Both / determinant, Shift / determinant) : new(1e6, 0, 1e6);
        }
    }
}
