namespace SweepRig.Logic.Gates;

/// <summary>What a stage is made of and does.</summary>
public enum GateKind
{
    /// <summary>One tube for each input behind a divider of its own, all on one plate resistor: low when any input is high. One input makes it an inverter.</summary>
    Nor,

    /// <summary>One tube; the dividers of all inputs meet at its grid, and one high input is enough to turn it on.</summary>
    NorAtGrid,

    /// <summary>As <see cref="NorAtGrid"/>, but biased so far down that only all inputs together turn it on: low when every input is high.</summary>
    NandAtGrid,

    /// <summary>A pentode on two grids, whose first input drives the grid through a divider and whose second feeds the screen: low when both are high. The second should be a follower.</summary>
    NandAtScreen,

    /// <summary>A tube in triode connection with its resistor at the cathode: the output follows the input and can feed many.</summary>
    Follower,
}

/// <summary>Resistors and wiring of a stage. Values in ohms and farads.</summary>
public sealed record StageValues
{
    /// <summary>Values with which a miniature pentode in triode connection restores its levels: it cuts off later and pulls less far down than in pentode connection.</summary>
    public static StageValues UsualTriode { get; } = new() { IsTriode = true, PlateOhms = 22_000, LowerOhms = 82_000 };

    /// <summary>
    /// Values with which a gate of a kind is right on 28 V and -14 V. Two dividers that meet at one grid raise it together: the lower resistor is smaller, so that the grid is cut off while
    /// every input is low (NOR) or all but one are high (NAND). Of the E12 series the value with the greatest margin for the worst pentode of a lot is taken; it serves triodes too.
    /// </summary>
    public static StageValues UsualOf(GateKind kind, bool isTriode = false)
    {
        var inverter = isTriode ? UsualTriode : new();
        return kind switch
        {
            GateKind.NorAtGrid => inverter with { LowerOhms = 56_000 },
            GateKind.NandAtGrid => inverter with { LowerOhms = 33_000 },
            _ => inverter,
        };
    }

    /// <summary>Screen tied to the plate.</summary>
    public bool IsTriode { get; init; }

    /// <summary>From the rail to the plate.</summary>
    public double PlateOhms { get; init; } = 10_000;

    /// <summary>From the rail to the screen; of no meaning in triode connection.</summary>
    public double ScreenOhms { get; init; } = 100;

    /// <summary>From the middle of the divider to the grid.</summary>
    public double StopperOhms { get; init; } = 4_700;

    /// <summary>From an input to the middle of the divider.</summary>
    public double UpperOhms { get; init; } = 100_000;

    /// <summary>From the middle of the divider to the bias rail.</summary>
    public double LowerOhms { get; init; } = 120_000;

    /// <summary>Across each upper resistor; 0 for none.</summary>
    public double SpeedUpFarads { get; init; }

    /// <summary>From the cathode of a follower to the bias rail.</summary>
    public double CathodeOhms { get; init; } = 22_000;
}

/// <summary>A stage.</summary>
/// <param name="Output">Its signal, which is also the node of its plate (of its cathode for a follower).</param>
/// <param name="Inputs">Signals, in order.</param>
public sealed record Gate(string Output, GateKind Kind, IReadOnlyList<string> Inputs, StageValues Values)
{
    /// <summary>Tubes that it takes.</summary>
    public int TubeCount => Kind == GateKind.Nor ? Inputs.Count : 1;

    /// <summary>The places of its tubes: <c>V</c>, the signal, and a number.</summary>
    public IEnumerable<string> Positions => Enumerable.Range(1, TubeCount).Select(n => $"V_{Output}_{n}");

    /// <summary>What its output is to be.</summary>
    /// <param name="high">Of each input.</param>
    public bool Wanted(IReadOnlyList<bool> high) => Kind switch
    {
        GateKind.Nor or GateKind.NorAtGrid => !high.Any(h => h),
        GateKind.NandAtGrid or GateKind.NandAtScreen => !high.All(h => h),
        _ => high[0],
    };
}

/// <summary>Rails of a network. Unit: V.</summary>
/// <param name="Plate">Positive rail.</param>
/// <param name="Bias">Negative rail.</param>
/// <param name="Heater">Of all heaters.</param>
public sealed record GateRails(double Plate, double Bias, double Heater)
{
    /// <summary>Supply of the screens where they have one of their own; null where they hang on the positive rail.</summary>
    public double? Screen { get; init; }
}

/// <summary>Stages wired together by signals.</summary>
/// <param name="Inputs">Signals that come from outside.</param>
/// <param name="Outputs">Signals that are looked at outside.</param>
/// <param name="Gates">Each makes one signal.</param>
public sealed record GateNetwork(string Name, GateRails Rails, IReadOnlyList<string> Inputs, IReadOnlyList<string> Outputs, IReadOnlyList<Gate> Gates)
{
    /// <summary>Edges that are led to gates; empty for a network that levels alone rule.</summary>
    public IReadOnlyList<Steer> Steers { get; init; } = [];

    /// <summary>What hangs on signals from outside.</summary>
    public IReadOnlyList<GateLoad> Loads { get; init; } = [];

    /// <summary>Places of all tubes.</summary>
    public IReadOnlyList<string> Positions => [.. Gates.SelectMany(g => g.Positions)];

    /// <summary>Capacitors hand fast changes on past its dividers, so that a balance of direct voltages may tip over by itself.</summary>
    internal bool MayTip => Gates.Any(g => g.Values.SpeedUpFarads > 0);

    /// <summary>Some of its gates with the edges that are led to them and the loads of their signals.</summary>
    public GateNetwork Only(IReadOnlyList<Gate> gates)
    {
        ArgumentNullException.ThrowIfNull(gates);
        var made = gates.Select(g => g.Output).ToHashSet(StringComparer.Ordinal);
        return this with { Gates = gates, Steers = [.. Steers.Where(s => made.Contains(s.Target))], Loads = [.. Loads.Where(l => made.Contains(l.Signal) || Inputs.Contains(l.Signal))] };
    }

    /// <summary>Stages that a signal feeds: its fan-out.</summary>
    public int FanOut(string signal) => Gates.Sum(g => g.Inputs.Count(i => i == signal));
}
