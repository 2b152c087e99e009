namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>Where the pins come to rest, in volts, and how far they move for each volt on the effective grid voltage.</summary>
/// <param name="Cathode">Of the emitting surface against its pin.</param>
/// <param name="CathodeCurrent">A.</param>
internal readonly record struct RestingPoint(
    double Grid, double Screen, double Plate, double GridHum, double ScreenHum, double PlateHum, double Cathode = 0, double CathodeCurrent = 0);

/// <summary>
/// What a step of the drive adds to the resting point while the capacitance of the cathode's interface still holds the old voltage; dies away exponentially.
/// </summary>
internal readonly record struct StepExcess(double Grid, double Screen, double Plate, double CathodeVolts, double TauMicroseconds)
{
    public double Left(double elapsedMicroseconds) =>
        TauMicroseconds <= 0 || elapsedMicroseconds > 40 * TauMicroseconds ? 0 : Math.Exp(-Math.Max(0, elapsedMicroseconds) / TauMicroseconds);
}
