using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Tubes.Tests;

internal static class Connections
{
    /// <summary>24 V rail, 10 kohm, 100 ohm, 4.7 kohm.</summary>
    public static Connection Bench(ConnectionKind kind) => With(kind, 24, 10e3, 100, 4.7e3);

    public static Connection With(ConnectionKind kind, double rail, double plateOhms, double screenOhms, double gridOhms) => new(
        kind, new Volts(rail), new Volts(-14), new Volts(6.3), new Ohms(plateOhms), new Ohms(screenOhms), new Ohms(gridOhms));
}
