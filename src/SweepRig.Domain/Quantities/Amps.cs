namespace SweepRig.Domain.Quantities;

/// <summary>A current. Unit: amperes (A). Never NaN and never infinite.</summary>
public readonly record struct Amps : IComparable<Amps>
{
    /// <param name="value">The magnitude in amperes.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is NaN or infinite.</exception>
    public Amps(double value)
    {
        if (!double.IsFinite(value))
            throw new ArgumentOutOfRangeException(nameof(value), value, "A quantity in amperes must be a finite number.");
        Value = value;
    }

    public double Value { get; }

    public static bool operator <(Amps a, Amps b) => a.Value < b.Value;
    public static bool operator >(Amps a, Amps b) => a.Value > b.Value;
    public static bool operator <=(Amps a, Amps b) => a.Value <= b.Value;
    public static bool operator >=(Amps a, Amps b) => a.Value >= b.Value;
    public static Amps operator +(Amps a, Amps b) => new(a.Value + b.Value);
    public static Amps operator -(Amps a, Amps b) => new(a.Value - b.Value);
    public static Amps operator -(Amps a) => new(-a.Value);

    public int CompareTo(Amps other) => Value.CompareTo(other.Value);

    /// <summary>The value as a person writes it, for example <c>4.5 mA</c>, always with a decimal point.</summary>
    public override string ToString() => Engineering.Format(Value, "A");
}
