namespace SweepRig.Sweeps.Running;

/// <summary>Where an adaptive sweep goes on.</summary>
/// <param name="Drives">Volts; empty when the wanted uncertainty is reached.</param>
/// <param name="SwitchingVolts">The switching point as it stands; null where it cannot be told yet.</param>
/// <param name="UncertaintyVolts">Its standard uncertainty; null with it.</param>
public sealed record ChosenDrives(IReadOnlyList<double> Drives, double? SwitchingVolts, double? UncertaintyVolts);
