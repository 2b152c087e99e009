using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Models;

/// <summary>A sweep that could be made next.</summary>
/// <param name="Connection">Kind, rail, heater and resistors.</param>
/// <param name="FromDrive">Volts.</param>
/// <param name="ToDrive">Volts; above 0 it needs a permit.</param>
/// <param name="Points">Number of drives, evenly apart; 1 is <paramref name="FromDrive"/> alone.</param>
public sealed record PlannedSweep(Connection Connection, double FromDrive, double ToDrive, int Points)
{
    public bool NeedsPermit => ToDrive > 0;

    /// <summary>Drives of the sweep, volts.</summary>
    public double[] Drives => [.. Enumerable.Range(0, Points).Select(i => FromDrive + (ToDrive - FromDrive) * i / Math.Max(1, Points - 1))];

    /// <summary>In one phrase, for people.</summary>
    public override string ToString() =>
        $"{ConnectionReading.Name(Connection.Kind)} connection at {Volts(Connection.PlateRail.Value)}, plate resistor {Engineering.Format(Connection.PlateResistor.Value, "Ω", 3)}, heater {Volts(Connection.Heater.Value)}, "
        + $"drive from {Volts(FromDrive)} to {Volts(ToDrive)} in {Points} points{(NeedsPermit ? " (needs a permit for positive drive)" : "")}";

    private static string Volts(double volts) => Engineering.Format(volts, "V", 3);
}
