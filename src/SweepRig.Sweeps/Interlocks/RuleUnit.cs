namespace SweepRig.Sweeps.Interlocks;

/// <summary>Unit of a limit as people write it.</summary>
/// <param name="Symbol">As it stands behind the number.</param>
/// <param name="Factor">What one of it is in the base unit that the interlocks reckon in.</param>
public sealed record RuleUnit(string Symbol, double Factor)
{
    public static RuleUnit Volts { get; } = new("V", 1);

    public static RuleUnit Milliamperes { get; } = new("mA", 1e-3);

    public static RuleUnit Milliwatts { get; } = new("mW", 1e-3);

    public static RuleUnit Millicoulombs { get; } = new("mC", 1e-3);

    public static RuleUnit Seconds { get; } = new("s", 1);

    public static RuleUnit Percent { get; } = new("%", 1e-2);

    public static RuleUnit Samples { get; } = new("samples", 1);
}
