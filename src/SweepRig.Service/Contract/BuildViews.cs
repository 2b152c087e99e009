namespace SweepRig.Service.Contract;

/// <summary>Everything that a build takes. What each part bears is its worst row, with rails and resistors at the adverse end of their tolerance.</summary>
/// <param name="Of">Name of the gate or network.</param>
/// <param name="Supplies">Rails; of a network of one's own every source.</param>
/// <param name="HeaterAmperes">Of all heaters whose current is known.</param>
/// <param name="HeatersUnknown">Places whose heater current is not known.</param>
/// <param name="SafetyFactor">How many times what it bears a part is rated at least.</param>
/// <param name="Remarks">What must be known beside the figures.</param>
public sealed record PartsView(
    string Of, PartsTubeView[] Tubes, PartsResistorView[] Resistors, PartsOtherView[] Capacitors, PartsOtherView[] Diodes, PartsSupplyView[] Supplies,
    double HeaterAmperes, double HeaterWatts, string[] HeatersUnknown, double SafetyFactor, string[] Remarks);

/// <param name="Number">Null for a tube that is not of the stock.</param>
/// <param name="HeaterAmperes">Null when not known.</param>
/// <param name="MostPlateWatts">In triode connection of plate and screen together.</param>
public sealed record PartsTubeView(
    string Position, string? Number, string? Type, [property: OneOf("pentode", "triode")] string Connection, double HeaterVolts, double? HeaterAmperes, double MostCathodeAmperes, double MostPlateWatts);

/// <summary>Resistors of one value.</summary>
/// <param name="Series">The coarsest series that has the value (IEC 60063); null when none has.</param>
/// <param name="Count">As many as there are names.</param>
/// <param name="Names">In the schematic.</param>
/// <param name="MostWatts">Of the one that gets hottest.</param>
/// <param name="RatedWatts">The size to buy; null when none of the usual bears it.</param>
public sealed record PartsResistorView(double Ohms, string? Series, int Count, string[] Names, double MostWatts, double? RatedWatts);

/// <summary>Capacitors or diodes of one kind.</summary>
/// <param name="Kind">With its value.</param>
/// <param name="MostVolts">Across the one that has most; of a diode in reverse.</param>
/// <param name="RatedVolts">The rating to buy.</param>
public sealed record PartsOtherView(string Kind, int Count, string[] Names, double MostVolts, double RatedVolts);

/// <param name="MostAmperes">Largest of all rows, by magnitude.</param>
/// <param name="MostWatts">Largest delivered; below 0 when it only takes.</param>
public sealed record PartsSupplyView(string Node, double Volts, double MostAmperes, double MostWatts);

/// <summary>What a meter is to show at every node of a build, in every row.</summary>
/// <param name="MeterOhms">Input resistance of the meter that it is for.</param>
/// <param name="Rows">In the order in which they are set up.</param>
public sealed record TestVoltagesView(string Of, double MeterOhms, TestRowView[] Rows, string[] Remarks);

/// <param name="Name">By which readings name it.</param>
/// <param name="Set">What each input is set to.</param>
public sealed record TestRowView(string Name, InputSetView[] Set, TestNodeView[] Nodes);

public sealed record InputSetView(string Input, double Volts);

/// <param name="Volts">With the meter at it. About 95 of 100 sound builds read within <paramref name="Tolerance"/> of it.</param>
public sealed record TestNodeView(string Node, double Volts, double Tolerance);

/// <summary>What readings say of a build.</summary>
/// <param name="Sound">The build as drawn explains them.</param>
/// <param name="Explained">The best explanation fits them.</param>
/// <param name="Explanations">Best first.</param>
/// <param name="Looked">Faults that were solved.</param>
/// <param name="Next">What to read next, the most telling first.</param>
/// <param name="Says">In words, a sentence each.</param>
public sealed record BuildVerdictView(string Of, int Readings, bool Sound, bool Explained, FaultView[] Explanations, int Looked, ReadNextView[] Next, string[] Says);

/// <param name="Part">The part or node that it concerns; empty when nothing is wrong.</param>
/// <param name="Look">How it is seen with the rails off.</param>
/// <param name="Misfit">Chi-square of all readings.</param>
/// <param name="Share">Its probability, if every fault were as likely beforehand. 0 to 1.</param>
public sealed record FaultView(string Part, string Says, string Look, double Misfit, double Share);

/// <param name="Expected">What each explanation would show there.</param>
public sealed record ReadNextView(string Node, string Row, double MeterOhms, ExpectedView[] Expected);

public sealed record ExpectedView(string Says, double Volts);
