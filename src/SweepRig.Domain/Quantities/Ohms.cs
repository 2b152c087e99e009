namespace SweepRig.Domain.Quantities;

/// <summary>A resistance. Unit: ohms (Ω). Never NaN and never infinite.</summary>
public readonly record struct Ohms : IComparable<Ohms>
{
    /// <param name="value">The magnitude in ohms.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is NaN or infinite.</exception>
    public Ohms(double value)
    {
        if (!double.IsFinite(value))
            throw new ArgumentOutOfRangeException(nameof(value), value, "A quantity in ohms must be a finite number.");
        Value = value;
    }

    public double Value { get; }

    public static bool operator <(Ohms a, Ohms b) => a.Value < b.Value;
    public static bool operator >(Ohms a, Ohms b) => a.Value > b.Value;
    public static bool operator <=(Ohms a, Ohms b) => a.Value <= b.Value;
    public static bool operator >=(Ohms a, Ohms b) => a.Value >= b.Value;
    public static Ohms operator +(Ohms a, Ohms b) => new(a.Value + b.Value);
    public static Ohms operator -(Ohms a, Ohms b) => new(a.Value - b.Value);
    public static Ohms operator -(Ohms a) => new(-a.Value);

    public int CompareTo(Ohms other) => Value.CompareTo(other.Value);

    /// <summary>The value as a person writes it, for example <c>4.7 kΩ</c>, always with a decimal point.</summary>
    public override string ToString() => Engineering.Format(Value, "Ω");
}
