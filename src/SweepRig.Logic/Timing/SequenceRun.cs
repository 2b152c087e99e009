using SweepRig.Logic.Margins;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>Inputs held for a while.</summary>
/// <param name="Inputs">High or low, in the order of the network.</param>
/// <param name="Seconds">How long, above 0.</param>
public sealed record SequenceStep(IReadOnlyList<bool> Inputs, double Seconds);

/// <summary>How a sequence is played.</summary>
public sealed record SequenceOptions
{
    /// <summary>What an input takes from one level to the other. Unit: s.</summary>
    public double EdgeSeconds { get; init; } = 100e-9;

    /// <summary>Levels of an input that are not those a chain of stages restores, by its name.</summary>
    public IReadOnlyDictionary<string, (double Low, double High)> Levels { get; init; } = new Dictionary<string, (double, double)>();

    /// <summary>How exact the way is followed.</summary>
    public TransientOptions Transient { get; init; } = new() { RelativeTolerance = 1e-3, AbsoluteVolts = 1e-3 };
}

/// <summary>A step as it went.</summary>
/// <param name="EndSeconds">Moment at which it was looked at: the end of the step.</param>
/// <param name="Wanted">What each signal is to be by then; null when by its rules the network does not come to rest.</param>
/// <param name="Volts">What each signal is.</param>
/// <param name="Wrong">First signal on the wrong side of the threshold; null when all are right.</param>
public sealed record SequenceRow(SequenceStep Step, double EndSeconds, IReadOnlyDictionary<string, bool>? Wanted, IReadOnlyDictionary<string, double> Volts, string? Wrong);

/// <summary>A sequence played through the network itself, with all its capacitances.</summary>
/// <param name="Levels">What stands for low and high; the threshold is between them.</param>
/// <param name="Rows">One a step; the first is the start.</param>
public sealed record SequenceRun(Transient Transient, ChainLevels Levels, IReadOnlyList<SequenceRow> Rows)
{
    public bool IsRight => Rows.All(r => r is { Wrong: null, Wanted: not null });
}
