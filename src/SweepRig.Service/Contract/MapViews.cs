namespace SweepRig.Service.Contract;

/// <summary>From one voltage to a higher one.</summary>
public sealed record VoltSpanView(double From, double To);

/// <summary>Request: where a gate stops working as two of its supplies move.</summary>
/// <param name="Against">What moves beside the plate rail: the supply of the screens, taken to be one of their own, or the bias rail.</param>
/// <param name="PlateSpan">Of the plate rail; from 0.4 to 1.4 times what it is where it is left out.</param>
/// <param name="OtherSpan">Of the other supply; around what it is where it is left out.</param>
/// <param name="Steps">Points along each side, 3 to 60. The limit is followed between them.</param>
/// <param name="LimitVolts">Margin below which it counts as not working, 0.01 V to 60 V.</param>
public sealed record MapRequest(
    string Gate, GateRailsView? Rails = null, GateValuesView? Values = null, string?[]? Tubes = null, [property: OneOf("screen", "bias")] string Against = "screen", VoltSpanView? PlateSpan = null,
    VoltSpanView? OtherSpan = null, int Steps = 13, double LimitVolts = 0.1) : GateRequest(Gate, Rails, Values, Tubes);

/// <summary>Where a gate stops working. Voltages.</summary>
/// <param name="PlateVolts">Along one side.</param>
/// <param name="OtherVolts">Along the other.</param>
/// <param name="MarginVolts">Worst margin by other supply, then by plate rail; 0 where a row is wrong.</param>
/// <param name="Limit">Pieces of the line on which the margin is the limit.</param>
/// <param name="At">Where the gate is meant to work.</param>
/// <param name="Room">How far the supplies may go; null when it does not work where it is meant to.</param>
/// <param name="Checks">How often the whole gate was checked.</param>
/// <param name="Says">In words, a sentence each.</param>
public sealed record MapView(
    string Gate, [property: OneOf("screen", "bias")] string Against, double[] PlateVolts, double[] OtherVolts, double[][] MarginVolts, MapPieceView[] Limit, double LimitVolts, MapPointView At, double AtMarginVolts,
    MapRoomView? Room, int Checks, string[] Says, string[] Remarks);

public sealed record MapPointView(double PlateVolts, double OtherVolts);

public sealed record MapPieceView(MapPointView From, MapPointView To);

/// <summary>The last voltage that still works; null where it works to the edge of the map.</summary>
/// <param name="Nearest">The nearest place of the limit with both moved, each counted as a share of what it is.</param>
/// <param name="NearestShare">How far that is.</param>
public sealed record MapRoomView(double? PlateDown, double? PlateUp, double? OtherDown, double? OtherUp, MapPointView? Nearest, double? NearestShare);
