namespace SweepRig.Logic.Gates;

/// <summary>Values of a cell: those of its stages and of its steering.</summary>
public sealed record CellValues(StageValues Stage, SteerValues Steering)
{
    /// <summary>Across the dividers of a cell that edges set, when no value is given: it hands a fast change on to the other tube whole, and remembers meanwhile which side was on.</summary>
    public const double UsualSpeedUpFarads = 22e-12;

    public static CellValues Usual { get; } = new(new StageValues(), new SteerValues());

    /// <summary>The stages of a cell that is set by edges.</summary>
    internal StageValues Quick => Stage.SpeedUpFarads > 0 ? Stage : Stage with { SpeedUpFarads = UsualSpeedUpFarads };
}

/// <summary>Gates and edges that store a bit: to be put into a <see cref="GateNetwork"/>. Signals are named by whoever asks; those between are his with <c>_p</c> and <c>_n</c> behind them.</summary>
/// <remarks>The bistable with capacitors across its dividers is Eccles and Jordan 1919, Radio Review 1, 143 (from memory); leading the trigger by the level of a plate is common practice, no source.</remarks>
public sealed class StorageCells
{
    private readonly List<Gate> _gates = [];
    private readonly List<Steer> _steers = [];
    private readonly CellValues _values;

    public StorageCells(CellValues values)
    {
        ArgumentNullException.ThrowIfNull(values);
        _values = values;
    }

    public IReadOnlyList<Gate> Gates => _gates;

    public IReadOnlyList<Steer> Steers => _steers;

    /// <summary>Changes its state with each falling edge of the trigger: halves its rate.</summary>
    public StorageCells Toggle(string q, string p, string trigger, SteerPlace place)
    {
        Pair(q, p, null, null);
        if (place == SteerPlace.Plate) return Lead(trigger, null, q, place).Lead(trigger, null, p, place);
        return Lead(trigger, q, q, place).Lead(trigger, p, p, place);
    }

    /// <summary>Takes over what its data are at each falling edge of the clock.</summary>
    /// <param name="data">High makes q high.</param>
    /// <param name="notData">The opposite; null where it has to be made here.</param>
    /// <param name="clear">High makes q low at once; null for none.</param>
    /// <param name="set">High makes q high at once; null for none.</param>
    public StorageCells Clocked(string q, string p, string data, string? notData, string clock, string? clear = null, string? set = null)
    {
        if (notData is null) _gates.Add(new(notData = q + "_n", GateKind.Nor, [data], _values.Stage));
        Pair(q, p, clear, set);
        return Lead(clock, notData, q, SteerPlace.Grid).Lead(clock, data, p, SteerPlace.Grid);
    }

    /// <summary>Clocked cells in a row: with each falling edge every one takes over what the one before it was.</summary>
    /// <param name="outputs">First to last.</param>
    public StorageCells Shift(IReadOnlyList<string> outputs, string data, string clock)
    {
        ArgumentNullException.ThrowIfNull(outputs);
        for (var n = 0; n < outputs.Count; n++)
            Clocked(outputs[n], Partner(outputs[n]), n == 0 ? data : outputs[n - 1], n == 0 ? null : Partner(outputs[n - 1]), clock);
        return this;
    }

    /// <summary>A row of clocked cells closed to a ring: what is in it goes round by one place with each falling edge.</summary>
    /// <param name="start">High makes the first high and all others low.</param>
    public StorageCells Ring(IReadOnlyList<string> outputs, string clock, string start)
    {
        ArgumentNullException.ThrowIfNull(outputs);
        for (var n = 0; n < outputs.Count; n++)
        {
            var before = outputs[(n + outputs.Count - 1) % outputs.Count];
            Clocked(outputs[n], Partner(outputs[n]), before, Partner(before), clock, n == 0 ? null : start, n == 0 ? start : null);
        }
        return this;
    }

    /// <summary>The signal that is the opposite of a cell's output, in rows and rings.</summary>
    public static string Partner(string output) => output + "_p";

    private void Pair(string q, string p, string? clear, string? set)
    {
        _gates.Add(new(q, GateKind.Nor, clear is null ? [p] : [p, clear], _values.Quick));
        _gates.Add(new(p, GateKind.Nor, set is null ? [q] : [q, set], _values.Quick));
    }

    private StorageCells Lead(string trigger, string? level, string target, SteerPlace place)
    {
        _steers.Add(new(trigger, level, target, 1, place, _values.Steering));
        return this;
    }
}
