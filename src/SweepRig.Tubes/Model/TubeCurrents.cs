namespace SweepRig.Tubes.Model;

/// <summary>Electrode currents, positive from the circuit into the electrode. Unit: A.</summary>
/// <param name="Grid">Into grid 1.</param>
/// <param name="Screen">Into grid 2.</param>
/// <param name="Plate">Into the plate.</param>
public readonly record struct TubeCurrents(double Grid, double Screen, double Plate)
{
    /// <summary>Out of the cathode: the sum of the others, nothing is lost or made.</summary>
    public double Cathode => Grid + Screen + Plate;
}
