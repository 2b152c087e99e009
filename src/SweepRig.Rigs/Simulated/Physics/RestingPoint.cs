namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>Where the pins come to rest, in volts, and how far they move for each volt of hum on the effective grid voltage.</summary>
internal readonly record struct RestingPoint(double Grid, double Screen, double Plate, double GridHum, double ScreenHum, double PlateHum);
