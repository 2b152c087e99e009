namespace SweepRig.Analysis.Uncertainty;

/// <param name="Probability">Of the coverage interval, between 0 and 1.</param>
/// <param name="SignificantDigits">Of the standard uncertainty that must be steady, 1 or 2.</param>
/// <param name="MostTrials">Where it ends at the latest.</param>
/// <param name="Seed">The same seed gives the same result.</param>
public sealed record MonteCarloOptions(
    double Probability = Coverage.Probability, int SignificantDigits = 2, int MostTrials = 10_000_000, ulong Seed = 1);

/// <summary>What the trials say of a result.</summary>
/// <param name="Value">Mean.</param>
/// <param name="StandardUncertainty">Standard deviation.</param>
/// <param name="Low">Lower end of the probabilistically symmetric coverage interval (JCGM 101:2008, 3.15).</param>
/// <param name="High">Upper end of it.</param>
/// <param name="ShortestLow">Lower end of the shortest coverage interval (3.16).</param>
/// <param name="ShortestHigh">Upper end of it.</param>
/// <param name="Trials">Made.</param>
/// <param name="Tolerance">Numerical tolerance that belongs to the digits asked for (7.9.2).</param>
/// <param name="IsSteady">False when the trials ran out before the results kept within the tolerance.</param>
public sealed record MonteCarloResult(
    double Value, double StandardUncertainty, double Low, double High, double ShortestLow, double ShortestHigh, int Trials, double Tolerance, bool IsSteady)
{
    /// <summary>True when the ends of the interval of a budget lie within the tolerance of these (JCGM 101:2008, 8.1.3): then the law of propagation is validated.</summary>
    public bool Validates(Budget budget, double probability = Coverage.Probability)
    {
        ArgumentNullException.ThrowIfNull(budget);
        var half = budget.ExpandedUncertainty(probability);
        return Math.Abs(budget.Value - half - Low) <= Tolerance && Math.Abs(budget.Value + half - High) <= Tolerance;
    }
}

/// <summary>
/// Propagation of distributions by the adaptive Monte Carlo procedure of JCGM 101:2008, 7.9: blocks of trials are added until mean, standard deviation and both ends
/// of the interval are steady to the digits asked for. Pure: the seed is a parameter.
/// </summary>
public static class MonteCarlo
{
    private const int LeastBlock = 10_000;

    /// <param name="measurand">The result from the inputs.</param>
    /// <param name="inputs">In the order in which the function takes them.</param>
    /// <param name="options">Digits, probability, seed.</param>
    /// <param name="correlations">Of normal inputs; null where they have nothing to do with each other.</param>
    /// <exception cref="ArgumentException">An input that is not normal is correlated: the joint distribution is not known then.</exception>
    public static MonteCarloResult Propagate(
        Measurand measurand, IReadOnlyList<EstimatedQuantity> inputs, MonteCarloOptions options, Correlations? correlations = null)
    {
        ArgumentNullException.ThrowIfNull(measurand);
        ArgumentNullException.ThrowIfNull(inputs);
        ArgumentNullException.ThrowIfNull(options);
        var draw = Draws(inputs, correlations);
        var random = new RandomStream(options.Seed);
        // 7.9.4 b): at least 100/(1 - p), so that the ends of the interval of a block are known.
        var block = Math.Max(LeastBlock, (int)Math.Ceiling(100 / (1 - options.Probability)));
        var values = new List<double>(4 * block);
        var means = new Steadiness();
        var deviations = new Steadiness();
        var lows = new Steadiness();
        var highs = new Steadiness();
        var at = new double[inputs.Count];
        var now = new double[block];
        while (true)
        {
            for (var trial = 0; trial < block; trial++)
            {
                draw(random, at);
                now[trial] = measurand(at);
            }
            values.AddRange(now);
            var (mean, deviation) = Moments(now);
            Array.Sort(now);
            var (low, high) = Symmetric(now, options.Probability);
            means.Add(mean);
            deviations.Add(deviation);
            lows.Add(low);
            highs.Add(high);
            var (_, whole) = Moments(values);
            var tolerance = Tolerance(whole, options.SignificantDigits);
            var steady = means.Count > 1 && Math.Max(Math.Max(means.Doubt, deviations.Doubt), Math.Max(lows.Doubt, highs.Doubt)) < tolerance;
            if (steady || values.Count + block > options.MostTrials) return Result([.. values], options, tolerance, steady);
        }
    }

    /// <summary>Half a unit in the last of the significant digits of a standard uncertainty (7.9.2).</summary>
    public static double Tolerance(double standardUncertainty, int digits)
    {
        if (!(standardUncertainty > 0)) return 0;
        var exponent = (int)Math.Floor(Math.Log10(standardUncertainty)) - digits + 1;
        // 0.0996 to two digits is 0.10.
        if (Math.Round(standardUncertainty / Math.Pow(10, exponent)) >= Math.Pow(10, digits)) exponent++;
        return 0.5 * Math.Pow(10, exponent);
    }

    private static MonteCarloResult Result(double[] values, MonteCarloOptions options, double tolerance, bool steady)
    {
        var (mean, deviation) = Moments(values);
        Array.Sort(values);
        var (low, high) = Symmetric(values, options.Probability);
        var inside = (int)Math.Round(options.Probability * values.Length);
        var shortest = 0;
        for (var r = 1; r + inside < values.Length; r++)
        {
            if (values[r + inside] - values[r] < values[shortest + inside] - values[shortest]) shortest = r;
        }
        return new(mean, deviation, low, high, values[shortest], values[shortest + inside], values.Length, tolerance, steady);
    }

    private static (double Low, double High) Symmetric(double[] sorted, double probability)
    {
        // 7.7: q values inside, the others to either side alike.
        var inside = (int)Math.Round(probability * sorted.Length);
        var below = (sorted.Length - inside) / 2;
        return (sorted[below], sorted[Math.Min(sorted.Length - 1, below + inside)]);
    }

    private static (double Mean, double Deviation) Moments(IReadOnlyList<double> values)
    {
        // Relative to the first: readings that agree in their leading digits keep their scatter.
        var first = values[0];
        double sum = 0, squares = 0;
        for (var i = 0; i < values.Count; i++)
        {
            var apart = values[i] - first;
            sum += apart;
            squares += apart * apart;
        }
        var count = values.Count;
        return (first + sum / count, Math.Sqrt(Math.Max(0, (squares - sum * sum / count) / (count - 1))));
    }

    private static Action<RandomStream, double[]> Draws(IReadOnlyList<EstimatedQuantity> inputs, Correlations? correlations)
    {
        if (correlations is null)
        {
            return (random, at) =>
            {
                for (var i = 0; i < at.Length; i++) at[i] = inputs[i].Value + random.Error(inputs[i]);
            };
        }
        for (var i = 0; i < inputs.Count; i++)
        {
            for (var j = 0; j < inputs.Count; j++)
            {
                if (i != j && correlations[i, j] != 0 && (inputs[i].Shape != ErrorShape.Normal || !double.IsInfinity(inputs[i].DegreesOfFreedom)))
                    throw new ArgumentException($"The {inputs[i].Name} is correlated and not normal; give it as a function of independent inputs.", nameof(correlations));
            }
        }
        var factor = correlations.Factor();
        var normal = new double[inputs.Count];
        return (random, at) =>
        {
            for (var i = 0; i < at.Length; i++) normal[i] = inputs[i].Shape == ErrorShape.Normal ? random.Student(inputs[i].DegreesOfFreedom) : 0;
            for (var i = 0; i < at.Length; i++)
            {
                var error = 0.0;
                for (var j = 0; j <= i; j++) error += factor[i, j] * normal[j];
                at[i] = inputs[i].Value + (inputs[i].Shape == ErrorShape.Normal ? inputs[i].StandardUncertainty * error : random.Error(inputs[i]));
            }
        };
    }

    /// <summary>One result of each block: how well is their mean known?</summary>
    private sealed class Steadiness
    {
        private double _mean, _squares;

        public int Count { get; private set; }

        /// <summary>Two standard deviations of the mean (7.9.4 h).</summary>
        public double Doubt => Count < 2 ? double.PositiveInfinity : 2 * Math.Sqrt(_squares / ((double)Count * (Count - 1)));

        public void Add(double value)
        {
            var apart = value - _mean;
            _mean += apart / ++Count;
            _squares += apart * (value - _mean);
        }
    }
}
