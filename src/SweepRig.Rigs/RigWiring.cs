using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs;

/// <summary>
/// How the socket is wired, in whole ohms as it travels on the link: the rig takes its current limits from the drops over these resistors.
/// A rig cannot rewire a socket; a simulated one behaves as if it were wired so.
/// </summary>
/// <param name="Kind">Pentode or triode.</param>
/// <param name="PlateResistorOhms">From plate rail to plate, 1 to 100 million.</param>
/// <param name="ScreenResistorOhms">From plate rail to screen, 1 to 100 million; carries nothing in triode connection.</param>
/// <param name="GridStopperOhms">From drive to grid pin, 1 to 100 million.</param>
public sealed record RigWiring(ConnectionKind Kind, int PlateResistorOhms, int ScreenResistorOhms, int GridStopperOhms)
{
    public const int MaxOhms = 100_000_000;

    public static RigWiring Of(Connection connection) => new(
        connection.Kind,
        Whole(connection.PlateResistor.Value),
        Whole(connection.ScreenResistor.Value),
        Whole(connection.GridStopper.Value));

    private static int Whole(double ohms) => (int)Math.Clamp(Math.Round(ohms), 1, MaxOhms);
}
