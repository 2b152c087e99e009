using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Running;

/// <summary>One point to hold still.</summary>
/// <param name="DriveCode">DAC code of the drive.</param>
/// <param name="PlateRailVolts">Plate rail; null for off.</param>
/// <param name="HeaterVolts">Heater supply; null for off.</param>
/// <param name="Fixture">The resistors of the fixture, without which the rig could not tell currents.</param>
/// <param name="Socket">From 0; empty.</param>
/// <param name="Longest">The hold ends by itself after this, 0.1 s to <see cref="LongestOfAll"/>.</param>
public sealed record HoldRequest(int DriveCode, double? PlateRailVolts, double? HeaterVolts, Connection Fixture, int Socket, TimeSpan Longest)
{
    public static TimeSpan LongestOfAll { get; } = TimeSpan.FromMinutes(4);

    /// <summary>A positive drive is held no longer than an operator needs to read a meter.</summary>
    public static TimeSpan LongestPositive { get; } = TimeSpan.FromSeconds(20);
}
