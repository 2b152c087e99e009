namespace SweepRig.Logic.Gates;

/// <summary>Networks that store and count. Each stage of a ring or row is named by its place.</summary>
public static class SequenceExamples
{
    private static readonly string[] Four = ["q1", "q2", "q3", "q4"];

    /// <summary>Every example under the word that commands and pages know it by.</summary>
    public static IReadOnlyList<(string Word, string Says, Func<GateRails, StageValues, GateNetwork> Make)> All { get; } =
    [
        ("toggle", "changes with each falling edge, which is led to the grids", (r, v) => Toggle(r, new(v, new()), SteerPlace.Grid)),
        ("toggle-at-plates", "the same with the edge led to the plates", (r, v) => Toggle(r, new(v, new()), SteerPlace.Plate)),
        ("clocked", "takes over its data at each falling edge of the clock", (r, v) => Clocked(r, new(v, new()))),
        ("ring-stage", "a stage of a ring: takes over what the stage before it is", (r, v) => RingStage(r, new(v, new()))),
        ("ring", "a ring of four: one of them is high, and the next with each edge", (r, v) => Ring(r, new(v, new()), Four)),
        ("shift-register", "four bits in a row, moved on by one with each edge", (r, v) => ShiftRegister(r, new(v, new()), Four)),
        ("register", "four bits side by side, taken over with each edge", (r, v) => Register(r, new(v, new()), Four)),
    ];

    public static GateNetwork Toggle(GateRails rails, CellValues values, SteerPlace place) =>
        Of(place == SteerPlace.Grid ? "toggle" : "toggle-at-plates", rails, ["trigger"], ["q", "p"], new StorageCells(values).Toggle("q", "p", "trigger", place));

    public static GateNetwork Clocked(GateRails rails, CellValues values) =>
        Of("clocked", rails, ["data", "clock"], ["q", "p"], new StorageCells(values).Clocked("q", "p", "data", null, "clock"));

    public static GateNetwork RingStage(GateRails rails, CellValues values) =>
        Of("ring-stage", rails, ["before", "clock", "clear"], ["q", "p"], new StorageCells(values).Clocked("q", "p", "before", null, "clock", "clear"));

    /// <param name="outputs">Two or more.</param>
    public static GateNetwork Ring(GateRails rails, CellValues values, IReadOnlyList<string> outputs) =>
        Of("ring", rails, ["clock", "start"], outputs, new StorageCells(values).Ring(outputs, "clock", "start"));

    /// <param name="outputs">First to last.</param>
    public static GateNetwork ShiftRegister(GateRails rails, CellValues values, IReadOnlyList<string> outputs) =>
        Of("shift-register", rails, ["data", "clock"], outputs, new StorageCells(values).Shift(outputs, "data", "clock"));

    /// <param name="outputs">One a bit; its data are its name with <c>_d</c> behind it.</param>
    public static GateNetwork Register(GateRails rails, CellValues values, IReadOnlyList<string> outputs)
    {
        ArgumentNullException.ThrowIfNull(outputs);
        var cells = new StorageCells(values);
        foreach (var output in outputs) cells.Clocked(output, StorageCells.Partner(output), output + "_d", null, "clock");
        return Of("register", rails, [.. outputs.Select(o => o + "_d"), "clock"], outputs, cells);
    }

    private static GateNetwork Of(string name, GateRails rails, IReadOnlyList<string> inputs, IReadOnlyList<string> outputs, StorageCells cells) =>
        new(name, rails, inputs, outputs, cells.Gates) { Steers = cells.Steers };
}
