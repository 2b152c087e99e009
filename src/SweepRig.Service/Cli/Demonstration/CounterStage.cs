using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>A counter stage as it would be built from the tubes of a lot.</summary>
/// <param name="Lot">Out of which its tubes were chosen.</param>
/// <param name="Swept">Tubes of the lot that were held to the values.</param>
/// <param name="Gate">Its word.</param>
/// <param name="Values">Of its stages.</param>
/// <param name="Tubes">Which stands where.</param>
/// <param name="MarginVolts">Voltage that can stand adversely in series with every input of both stages at once, at rest.</param>
/// <param name="BoundVolts">What no other two of the tubes are reckoned to have more than.</param>
/// <param name="LowVolts">Stands for low.</param>
/// <param name="HighVolts">Stands for high.</param>
/// <param name="ShortestPeriodSeconds">Of a trigger of full swing.</param>
/// <param name="SmallestFallVolts">Of the trigger, from the high level, that still counts.</param>
/// <param name="FallWidthSeconds">For how long the trigger is low then.</param>
/// <param name="Remarks">What must be known beside the figures.</param>
public sealed record CounterStage(
    string Lot, int Swept, string Gate, GateValuesView Values, PlacedTubeView[] Tubes, double MarginVolts, double BoundVolts, double LowVolts, double HighVolts,
    double ShortestPeriodSeconds, double SmallestFallVolts, double FallWidthSeconds, string[] Remarks);
