namespace SweepRig.Analysis.Uncertainty;

/// <summary>A result as a function of its inputs, in their order.</summary>
public delegate double Measurand(ReadOnlySpan<double> inputs);

/// <summary>
/// Law of propagation of uncertainty: u²(y) = Σ cᵢ²u²(xᵢ) + 2ΣΣ cᵢcⱼu(xᵢ)u(xⱼ)r(xᵢ,xⱼ) (JCGM 100:2008, 5.1.2 and 5.2.2). Sensitivities are taken from the
/// function itself, over a step of one standard uncertainty to either side (5.1.3, note 2). Pure.
/// </summary>
public static class Propagation
{
    /// <param name="unit">Of the result.</param>
    /// <param name="measurand">The result from the inputs; must be defined one standard uncertainty around them.</param>
    /// <param name="inputs">In the order in which the function takes them.</param>
    /// <param name="correlations">Null where the inputs have nothing to do with each other.</param>
    /// <param name="secondOrder">Adds the terms of the second order (5.1.2, note), for independent inputs where a sensitivity vanishes or the function bends.</param>
    public static Budget Of(
        string unit, Measurand measurand, IReadOnlyList<EstimatedQuantity> inputs, Correlations? correlations = null, bool secondOrder = false)
    {
        ArgumentNullException.ThrowIfNull(measurand);
        ArgumentNullException.ThrowIfNull(inputs);
        if (correlations is not null && correlations.Count != inputs.Count)
            throw new ArgumentException($"There are {inputs.Count} inputs and correlations for {correlations.Count}; give one row for each input.", nameof(correlations));
        var at = inputs.Select(i => i.Value).ToArray();
        var parts = new double[inputs.Count];
        for (var i = 0; i < parts.Length; i++) parts[i] = Part(measurand, at, inputs, i);

        var together = 0.0;
        for (var i = 0; i < parts.Length && correlations is not null; i++)
        {
            for (var j = i + 1; j < parts.Length; j++) together += 2 * parts[i] * parts[j] * correlations[i, j];
        }
        return new(
            measurand(at), unit, [.. inputs.Select((input, i) => Line(input, parts[i]))], together, secondOrder ? SecondOrder(measurand, at, inputs) : 0);
    }

    /// <summary>Covariance of two results of the same inputs, in the product of their units (JCGM 100:2008, F.1.2.3, equation (F.2)).</summary>
    public static double Covariance(Measurand a, Measurand b, IReadOnlyList<EstimatedQuantity> inputs, Correlations? correlations = null)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        ArgumentNullException.ThrowIfNull(inputs);
        var at = inputs.Select(i => i.Value).ToArray();
        var sum = 0.0;
        for (var i = 0; i < at.Length; i++)
        {
            for (var j = 0; j < at.Length; j++)
            {
                var together = i == j ? 1 : correlations?[i, j] ?? 0;
                if (together != 0) sum += Part(a, at, inputs, i) * Part(b, at, inputs, j) * together;
            }
        }
        return sum;
    }

    private static Contribution Line(EstimatedQuantity input, double part) => new(
        input.Name, input.StandardUncertainty, input.Unit, input.StandardUncertainty > 0 ? part / input.StandardUncertainty : 0, input.Shape,
        double.IsInfinity(input.DegreesOfFreedom) ? null : input.DegreesOfFreedom);

    private static double Part(Measurand measurand, double[] at, IReadOnlyList<EstimatedQuantity> inputs, int i)
    {
        if (inputs[i].StandardUncertainty == 0) return 0;
        return (Moved(measurand, at, inputs, (i, +1)) - Moved(measurand, at, inputs, (i, -1))) / 2;
    }

    private static double SecondOrder(Measurand measurand, double[] at, IReadOnlyList<EstimatedQuantity> inputs)
    {
        var sum = 0.0;
        for (var i = 0; i < at.Length; i++)
        {
            var slope = Part(measurand, at, inputs, i);
            for (var j = 0; j < at.Length; j++)
            {
                double Slope(int of, int by) => (Moved(measurand, at, inputs, (of, +1), (j, by)) - Moved(measurand, at, inputs, (of, -1), (j, by))) / 2;
                // Derivatives times the standard uncertainties that they go with: ½(f_ij)² + f_i f_ijj.
                var bend = i == j
                    ? Moved(measurand, at, inputs, (i, +1)) - 2 * measurand(at) + Moved(measurand, at, inputs, (i, -1))
                    : (Slope(i, +1) - Slope(i, -1)) / 2;
                var turn = i == j
                    ? (Moved(measurand, at, inputs, (i, +2)) - 2 * Moved(measurand, at, inputs, (i, +1)) + 2 * Moved(measurand, at, inputs, (i, -1)) - Moved(measurand, at, inputs, (i, -2))) / 2
                    : Slope(i, +1) - 2 * slope + Slope(i, -1);
                sum += bend * bend / 2 + slope * turn;
            }
        }
        return sum;
    }

    /// <summary>The result with inputs moved by so many of their standard uncertainties.</summary>
    private static double Moved(Measurand measurand, double[] at, IReadOnlyList<EstimatedQuantity> inputs, params ReadOnlySpan<(int Input, int By)> moves)
    {
        var moved = (double[])at.Clone();
        foreach (var (input, by) in moves) moved[input] += by * inputs[input].StandardUncertainty;
        return measurand(moved);
    }
}
