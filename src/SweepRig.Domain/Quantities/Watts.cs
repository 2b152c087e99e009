namespace SweepRig.Domain.Quantities;

/// <summary>A power. Unit: watts (W). Never NaN and never infinite.</summary>
public readonly record struct Watts : IComparable<Watts>
{
    /// <param name="value">The magnitude in watts.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is NaN or infinite.</exception>
    public Watts(double value)
    {
        if (!double.IsFinite(value))
            throw new ArgumentOutOfRangeException(nameof(value), value, "A quantity in watts must be a finite number.");
        Value = value;
    }

    public double Value { get; }

    public static bool operator <(Watts a, Watts b) => a.Value < b.Value;
    public static bool operator >(Watts a, Watts b) => a.Value > b.Value;
    public static bool operator <=(Watts a, Watts b) => a.Value <= b.Value;
    public static bool operator >=(Watts a, Watts b) => a.Value >= b.Value;
    public static Watts operator +(Watts a, Watts b) => new(a.Value + b.Value);
    public static Watts operator -(Watts a, Watts b) => new(a.Value - b.Value);
    public static Watts operator -(Watts a) => new(-a.Value);

    public int CompareTo(Watts other) => Value.CompareTo(other.Value);

    /// <summary>The value as a person writes it, for example <c>250 mW</c>, always with a decimal point.</summary>
    public override string ToString() => Engineering.Format(Value, "W");
}
