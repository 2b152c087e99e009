namespace SweepRig.Analysis.Grading;

/// <summary>What a quantity of a tube must keep to for a grade.</summary>
/// <param name="Quantity">Its name, as levels, constants and health figures have it.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio.</param>
/// <param name="Lowest">Null when only the highest counts.</param>
/// <param name="Highest">Null when only the lowest counts.</param>
public sealed record QuantityLimit(string Quantity, string Unit, double? Lowest, double? Highest)
{
    /// <summary>What is wrong with it; null when nothing is.</summary>
    public string? Fault()
    {
        if (Lowest is null && Highest is null) return $"{Quantity} has neither a lowest nor a highest value; give one or both";
        if (Lowest is { } low && !double.IsFinite(low)) return $"the lowest {Quantity} is {low}; give a finite number";
        if (Highest is { } high && !double.IsFinite(high)) return $"the highest {Quantity} is {high}; give a finite number";
        return Lowest >= Highest ? $"the lowest {Quantity} is {Lowest} {Unit} and the highest {Highest} {Unit}; the lowest must be below" : null;
    }
}
