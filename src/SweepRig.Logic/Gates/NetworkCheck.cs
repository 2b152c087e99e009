namespace SweepRig.Logic.Gates;

/// <summary>One row of the table of a network in volts.</summary>
/// <param name="Inputs">High or low, in the order of the network.</param>
/// <param name="Wanted">What each signal is to be.</param>
/// <param name="Volts">What each signal is; null when the network does not come to rest.</param>
/// <param name="IsRight">Every signal is on its side of the threshold.</param>
/// <param name="MarginVolts">Adverse voltage that can stand in series with every input of every gate at once before a signal is wrong; 0 when it is wrong already.</param>
/// <param name="FirstToFail">The signal that goes first beyond that; null when none does.</param>
public sealed record CheckedRow(
    IReadOnlyList<bool> Inputs, IReadOnlyDictionary<string, bool> Wanted, IReadOnlyDictionary<string, double>? Volts, bool IsRight, double MarginVolts, string? FirstToFail);

/// <summary>A network of gates looked at in every state that its inputs allow.</summary>
/// <param name="Low">Voltage that stands for low at the inputs.</param>
/// <param name="High">Voltage that stands for high.</param>
/// <param name="Threshold">Between them, where a stage hands on what it gets unchanged.</param>
/// <param name="Rows">One for each pattern of the inputs and each state that agrees with it.</param>
public sealed record NetworkCheck(double Low, double High, double Threshold, IReadOnlyList<CheckedRow> Rows)
{
    public bool IsRight => Rows.All(r => r.IsRight);

    /// <summary>The least of all rows. Unit: V.</summary>
    public double WorstMarginVolts => Rows.Count == 0 ? 0 : Rows.Min(r => r.MarginVolts);
}
