using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>Conductances between the pins that should not be there, in S. Paths to the heater do not show: the cathode pin is at 0 V, and the rig measures nothing at the heater.</summary>
internal readonly record struct ShuntNetwork(double GridCathode, double GridScreen, double GridPlate, double ScreenCathode, double ScreenPlate, double PlateCathode)
{
    public bool IsEmpty => this == default;

    public static ShuntNetwork Of(IReadOnlyList<Shunt> shunts)
    {
        double Between(Electrode a, Electrode b) => shunts.Where(s => (s.A == a && s.B == b) || (s.A == b && s.B == a)).Sum(s => 1 / s.Ohms);
        return new(
            Between(Electrode.Grid, Electrode.Cathode), Between(Electrode.Grid, Electrode.Screen), Between(Electrode.Grid, Electrode.Plate),
            Between(Electrode.Screen, Electrode.Cathode), Between(Electrode.Screen, Electrode.Plate), Between(Electrode.Plate, Electrode.Cathode));
    }
}
