namespace SweepRig.Tubes.Model;

/// <summary>
/// Partial derivatives of the three electrode currents with respect to the three electrode voltages, the other two held.
/// <c>PlateByGrid</c> is dIp/dVg1, the transconductance of the textbooks. Unit: S.
/// </summary>
public readonly record struct TubeConductances(
    double GridByGrid, double GridByScreen, double GridByPlate,
    double ScreenByGrid, double ScreenByScreen, double ScreenByPlate,
    double PlateByGrid, double PlateByScreen, double PlateByPlate);
