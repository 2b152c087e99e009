using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>The layer in the cathode as it grows: hot and without current it does, otherwise it stays (illustrative).</summary>
internal sealed class InterfaceLayer(CathodeInterface? layer)
{
    private const double MicrosecondsPerHour = 3.6e9;

    /// <summary>Less cathode current than this is none.</summary>
    public const double CutOffAmps = 10e-6;

    private long _seen;

    public double Ohms { get; private set; } = layer?.Ohms ?? 0;

    public double Farads => layer?.Farads ?? 0;

    /// <summary>Passes time in the state since the last call.</summary>
    public void Pass(long now, bool hot, double cathodeAmps)
    {
        if (layer is { OhmsPerCutOffHour: > 0 } && hot && Math.Abs(cathodeAmps) < CutOffAmps) Ohms += layer.OhmsPerCutOffHour * (now - _seen) / MicrosecondsPerHour;
        _seen = now;
    }
}
