using System.Diagnostics.CodeAnalysis;

namespace SweepRig.Domain;

/// <summary>An outcome of whatever value.</summary>
public interface IOutcome
{
    /// <summary>Every reason for the refusal; empty when there is a value.</summary>
    IReadOnlyList<Refusal> Refusals { get; }
}

/// <summary>Either a value or at least one refusal.</summary>
public sealed class Outcome<T> : IOutcome
    where T : class
{
    private Outcome(T? value, IReadOnlyList<Refusal> refusals)
    {
        Value = value;
        Refusals = refusals;
    }

    public T? Value { get; }

    /// <summary>Every reason for the refusal; empty when there is a value.</summary>
    public IReadOnlyList<Refusal> Refusals { get; }

    [MemberNotNullWhen(true, nameof(Value))]
    public bool IsAccepted => Value is not null;

    public static Outcome<T> Accept(T value) => new(value, []);

    /// <exception cref="ArgumentException">The list is empty: a refusal without a reason is a bug.</exception>
    public static Outcome<T> Refuse(IReadOnlyList<Refusal> refusals) =>
        refusals.Count > 0 ? new(null, refusals) : throw new ArgumentException("SweepRig bug: a refusal needs a reason.", nameof(refusals));

    public static Outcome<T> Refuse(Refusal refusal) => Refuse(new[] { refusal });

    /// <summary>The same with another value, or with the same refusals.</summary>
    public Outcome<TTo> Map<TTo>(Func<T, TTo> map)
        where TTo : class
    {
        ArgumentNullException.ThrowIfNull(map);
        return IsAccepted ? Outcome<TTo>.Accept(map(Value)) : Outcome<TTo>.Refuse(Refusals);
    }
}
