namespace SweepRig.Service.Contract;

/// <summary>Rails of a gate. Unit: V; no two of them more than 60 V apart.</summary>
/// <param name="PlateVolts">Positive rail, above 0.</param>
/// <param name="BiasVolts">Negative rail, at most 0.</param>
/// <param name="HeaterVolts">Of all heaters; tubes of the stock keep the voltage that they were measured at.</param>
public sealed record GateRailsView(double PlateVolts = 28, double BiasVolts = -14, double HeaterVolts = 6.3);

/// <summary>Resistors and connection of a stage.</summary>
/// <param name="PlateOhms">From the rail to the plate.</param>
/// <param name="ScreenOhms">From the rail to the screen; of no meaning in triode connection.</param>
/// <param name="StopperOhms">From the middle of the divider to the grid.</param>
/// <param name="UpperOhms">From an input to the middle of the divider.</param>
/// <param name="LowerOhms">From the middle of the divider to the bias rail.</param>
/// <param name="SpeedUpPicofarads">Across the upper resistor; 0 for none.</param>
/// <param name="CathodeOhms">From the cathode of a follower to the bias rail.</param>
public sealed record GateValuesView(
    [property: OneOf("pentode", "triode")] string Connection = "pentode", double PlateOhms = 10_000, double ScreenOhms = 100, double StopperOhms = 4_700,
    double UpperOhms = 100_000, double LowerOhms = 120_000, double SpeedUpPicofarads = 0, double CathodeOhms = 22_000);

/// <summary>Request: what stages do, with any of some tubes in them. Tubes by number, or those of a lot; neither for an example tube.</summary>
/// <param name="Tubes">Numbers in the stock.</param>
/// <param name="Lot">Name of a lot; its tubes that were never swept are left out.</param>
/// <param name="FanOut">Stages that each stage feeds, 0 to 8.</param>
public record StageRequest(GateRailsView? Rails = null, GateValuesView? Values = null, string[]? Tubes = null, string? Lot = null, int FanOut = 1)
{
    /// <summary>A word of /api/logic/gates whose stages they are: where inputs meet at one grid, one of them is driven and the others rest where they leave it the word. Inverters when null.</summary>
    public string? Gate { get; init; }
}

/// <summary>Values that a search may take. Unit: ohm.</summary>
public sealed record OhmRangeView(double Lowest, double Highest);

/// <summary>What must not be gone beyond, with any of the tubes at any input. Null for no limit.</summary>
/// <param name="GridAmperes">Grid current at an input of the rail voltage.</param>
public sealed record StageLimitsView(double? GridAmperes = null, double? PlateWatts = null, double? ScreenWatts = null, double? CathodeAmperes = null, double? ResistorWatts = null);

/// <summary>Request: the resistors that give the greatest margin to every one of some tubes.</summary>
/// <param name="Series">Of preferred values (IEC 60063).</param>
/// <param name="TolerancePercent">Half width of the tolerance of each resistor; the margin holds for all within. 0 to 20.</param>
/// <param name="Plate">Plate resistors to choose from.</param>
/// <param name="Upper">Upper resistors of the divider.</param>
/// <param name="Lower">Lower resistors of the divider.</param>
public sealed record SearchRequest(
    GateRailsView? Rails = null, GateValuesView? Values = null, string[]? Tubes = null, string? Lot = null, int FanOut = 1,
    [property: OneOf("E12", "E24", "E96")] string Series = "E24", double TolerancePercent = 5, OhmRangeView? Plate = null, OhmRangeView? Upper = null, OhmRangeView? Lower = null,
    StageLimitsView? Limits = null) : StageRequest(Rails, Values, Tubes, Lot, FanOut);

/// <summary>Request: which two of some tubes make the best bistable.</summary>
/// <param name="Most">Pairs answered, 1 to 200.</param>
public sealed record PairRequest(GateRailsView? Rails = null, GateValuesView? Values = null, string[]? Tubes = null, string? Lot = null, int FanOut = 1, int Most = 20)
    : StageRequest(Rails, Values, Tubes, Lot, FanOut);

/// <summary>Request: a gate with the very tubes that it is to have.</summary>
/// <param name="Gate">A word of /api/logic/gates.</param>
/// <param name="Values">Those that the gate is listed with where they are left out.</param>
/// <param name="Tubes">Numbers in the stock, in the order of the places of the gate; a place that is left out or empty has an example tube.</param>
public record GateRequest(string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null);

/// <summary>What varies from one built gate to the next. Percentages of resistors and rails are half widths, those of tubes one standard deviation.</summary>
public sealed record TolerancesView(double ResistorPercent = 5, double RailPercent = 5, double CurrentPercent = 5, double OffsetVolts = 0.05, double EmissionPercent = 10);

/// <summary>Request: how many of many built gates would be right.</summary>
/// <param name="Trials">1 to 100,000.</param>
/// <param name="Seed">The same seed gives the same trials.</param>
/// <param name="LeastVolts">Distance from the threshold that every signal must keep.</param>
public sealed record YieldRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, TolerancesView? Tolerances = null, int Trials = 2_000, long Seed = 1, double LeastVolts = 0)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Request: the netlist of a gate for SPICE, led to one row of its table.</summary>
/// <param name="Row">Place in the table, from 0.</param>
public sealed record NetlistRequest(string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, int Row = 0)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Request: what it takes to build a gate with named tubes.</summary>
/// <param name="Tolerances">Adverse ends of these are what parts must bear.</param>
/// <param name="MeterOhms">Input resistance of the meter that readings are for, 1 kΩ to 1 TΩ.</param>
public record BuildRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, TolerancesView? Tolerances = null, double MeterOhms = 10e6)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Request: which tube goes where in a gate, so that its worst margin is largest.</summary>
/// <param name="Tubes">Numbers in the stock to choose from, in any order; those of <paramref name="Lot"/> where there are none.</param>
/// <param name="Lot">Its tubes that are in use or were never swept are left out.</param>
/// <param name="Pinned">Number of the tube that must stand at a place, by place.</param>
/// <param name="Forbidden">Numbers that are not to be taken.</param>
/// <param name="Spares">Most spares to name for each place, 0 to 20.</param>
public sealed record ChooseRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, string? Lot = null, Dictionary<string, string>? Pinned = null, string[]? Forbidden = null, int Spares = 3)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Request: which free tubes could stand in for each of those that a gate has.</summary>
/// <param name="Lot">To take spares from; the whole stock where neither it nor <paramref name="From"/> is given.</param>
/// <param name="From">Numbers to take spares from.</param>
/// <param name="Spares">Most spares to name for each place, 1 to 20.</param>
public sealed record SparesRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, string? Lot = null, string[]? From = null, int Spares = 3)
    : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Request: what explains the readings of a meter at a build.</summary>
/// <param name="Readings">1 to 5,000.</param>
public sealed record BuildCheckRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, TolerancesView? Tolerances = null, double MeterOhms = 10e6, BuildReadingView[]? Readings = null)
    : BuildRequest(Gate, Rails, Values, Tubes, Tolerances, MeterOhms);

/// <summary>What somebody read off a meter.</summary>
/// <param name="Node">Where its tip was; the other at ground.</param>
/// <param name="Row">Name of the row that the inputs were set to.</param>
/// <param name="MeterOhms">Input resistance of the meter where it is not that of the request.</param>
public sealed record BuildReadingView(string Node, string Row, double Volts, double? MeterOhms = null);
