namespace SweepRig.Analysis.Uncertainty;

/// <summary>One quantity that a result is reckoned from (an input quantity in the sense of JCGM 100:2008, 4.1): the best estimate and what is known of its error.</summary>
/// <param name="Name">For people, for example <c>plate resistor</c>.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
/// <param name="Value">Estimate, in the unit.</param>
/// <param name="StandardUncertainty">In the unit, 0 or more.</param>
/// <param name="Shape">Of the distribution.</param>
/// <param name="DegreesOfFreedom">Of the standard uncertainty, 1 or more; infinite where it is known as it stands.</param>
public sealed record EstimatedQuantity(
    string Name, string Unit, double Value, double StandardUncertainty, ErrorShape Shape = ErrorShape.Normal,
    double DegreesOfFreedom = double.PositiveInfinity)
{
    public double Value { get; } = double.IsFinite(Value) ? Value : throw new ArgumentException($"The {Name} is {Value}; give a finite value.", nameof(Value));

    public double StandardUncertainty { get; } = StandardUncertainty >= 0 && double.IsFinite(StandardUncertainty)
        ? StandardUncertainty
        : throw new ArgumentException($"The standard uncertainty of the {Name} is {StandardUncertainty}; give 0 or more.", nameof(StandardUncertainty));

    public double DegreesOfFreedom { get; } = DegreesOfFreedom >= 1
        ? DegreesOfFreedom
        : throw new ArgumentException($"The degrees of freedom of the {Name} are {DegreesOfFreedom}; give 1 or more.", nameof(DegreesOfFreedom));

    /// <summary>Within limits and anywhere there alike (JCGM 100:2008, 4.3.7).</summary>
    /// <param name="halfWidth">Half the distance of the limits, in the unit.</param>
    public static EstimatedQuantity Rectangular(string name, string unit, double value, double halfWidth) =>
        new(name, unit, value, halfWidth / Math.Sqrt(3), ErrorShape.Rectangular);

    /// <summary>Mean of repeated readings and its standard deviation (JCGM 100:2008, 4.2).</summary>
    /// <param name="readings">Two or more.</param>
    /// <exception cref="ArgumentException">One reading says nothing of its scatter.</exception>
    public static EstimatedQuantity OfReadings(string name, string unit, IReadOnlyList<double> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        if (readings.Count < 2)
            throw new ArgumentException($"The {name} was read {readings.Count} times; at least 2 readings are needed to tell their scatter. Repeat the reading.", nameof(readings));
        var mean = readings.Average();
        var variance = readings.Sum(r => (r - mean) * (r - mean)) / (readings.Count - 1);
        return new(name, unit, mean, Math.Sqrt(variance / readings.Count), ErrorShape.Normal, readings.Count - 1);
    }
}
