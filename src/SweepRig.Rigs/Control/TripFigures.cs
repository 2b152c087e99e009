using SweepRig.Domain.Interlocks;

namespace SweepRig.Rigs.Control;

/// <summary>The figures of a trip in the whole numbers of the link: uV for voltages, nA for currents, ms for times.</summary>
internal static class TripFigures
{
    public static int OnLink(TripCause cause, double figure) => (int)Math.Clamp(Math.Round(figure * Scale(cause)), int.MinValue, int.MaxValue);

    private static double Scale(TripCause cause) => cause switch
    {
        TripCause.GridCurrent or TripCause.CathodeCurrent => 1e9,
        TripCause.PositiveTime => 1e3,
        _ => 1e6,
    };
}
