namespace SweepRig.Tubes.Fixture;

/// <summary>The state of the fixture at one drive. Voltages against the cathode in V; currents into the electrode in A.</summary>
/// <param name="Status">Use the rest only when this is <see cref="FixtureStatus.Solved"/>.</param>
/// <param name="Grid">Voltage of the grid pin, behind the stopper.</param>
/// <param name="Screen">Screen voltage; the plate voltage in triode connection.</param>
/// <param name="Plate">Plate voltage, the output.</param>
/// <param name="GridCurrent">Through the grid stopper.</param>
/// <param name="ScreenCurrent">Into the screen; flows through the plate resistor in triode connection.</param>
/// <param name="PlateCurrent">Into the plate alone.</param>
/// <param name="Evaluations">Evaluations of the tube model that it took.</param>
public readonly record struct FixturePoint(
    FixtureStatus Status,
    double Grid,
    double Screen,
    double Plate,
    double GridCurrent,
    double ScreenCurrent,
    double PlateCurrent,
    int Evaluations)
{
    /// <summary>True when the point may be used.</summary>
    public bool IsSolved => Status == FixtureStatus.Solved;

    /// <summary>Out of the cathode. Unit: A.</summary>
    public double CathodeCurrent => GridCurrent + ScreenCurrent + PlateCurrent;
}
