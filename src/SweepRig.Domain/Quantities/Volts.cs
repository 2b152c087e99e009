namespace SweepRig.Domain.Quantities;

/// <summary>A voltage. Unit: volts (V). Never NaN and never infinite.</summary>
public readonly record struct Volts : IComparable<Volts>
{
    /// <param name="value">The magnitude in volts.</param>
    /// <exception cref="ArgumentOutOfRangeException">The value is NaN or infinite.</exception>
    public Volts(double value)
    {
        if (!double.IsFinite(value))
            throw new ArgumentOutOfRangeException(nameof(value), value, "A quantity in volts must be a finite number.");
        Value = value;
    }

    public double Value { get; }

    public static bool operator <(Volts a, Volts b) => a.Value < b.Value;
    public static bool operator >(Volts a, Volts b) => a.Value > b.Value;
    public static bool operator <=(Volts a, Volts b) => a.Value <= b.Value;
    public static bool operator >=(Volts a, Volts b) => a.Value >= b.Value;
    public static Volts operator +(Volts a, Volts b) => new(a.Value + b.Value);
    public static Volts operator -(Volts a, Volts b) => new(a.Value - b.Value);
    public static Volts operator -(Volts a) => new(-a.Value);
    public static Amps operator /(Volts v, Ohms r) => new(v.Value / r.Value);
    public static Watts operator *(Volts v, Amps i) => new(v.Value * i.Value);

    public int CompareTo(Volts other) => Value.CompareTo(other.Value);

    /// <summary>The value as a person writes it, for example <c>5.02 V</c>, always with a decimal point.</summary>
    public override string ToString() => Engineering.Format(Value, "V");
}
