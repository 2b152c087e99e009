using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Planning;

/// <summary>Most power that a connection can put into an electrode, whatever the tube does.</summary>
internal static class Dissipation
{
    /// <summary>
    /// Greatest value of I·(V - I·R) for a current from 0 to <paramref name="mostAmps"/>: V²/4R at I = V/2R (matched load), less when the interlock trips before that.
    /// </summary>
    public static double WorstWatts(double railVolts, double seriesOhms, double mostAmps)
    {
        var amps = Math.Min(railVolts / (2 * seriesOhms), mostAmps);
        return amps * (railVolts - amps * seriesOhms);
    }

    public static double PlateWatts(Connection connection, double railVolts, double mostAmps) =>
        WorstWatts(railVolts, connection.PlateResistor.Value, mostAmps);

    /// <summary>In triode connection the screen's power is part of the plate's.</summary>
    public static double ScreenWatts(Connection connection, double railVolts, double mostAmps) =>
        connection.Kind == ConnectionKind.Triode ? 0 : WorstWatts(railVolts, connection.ScreenResistor.Value, mostAmps);
}
