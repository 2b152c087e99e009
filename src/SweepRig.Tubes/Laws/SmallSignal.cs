using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Laws;

/// <summary>The three quantities of a tube for small signals. mu = gm rp by definition (Barkhausen).</summary>
/// <param name="Transconductance">Output current by grid voltage, output voltage held. Unit: S.</param>
/// <param name="PlateResistance">Output voltage by output current, grid voltage held. Unit: ohm.</param>
public readonly record struct SmallSignal(double Transconductance, double PlateResistance)
{
    /// <summary>Amplification factor.</summary>
    public double Mu => Transconductance * PlateResistance;

    /// <summary>In pentode connection, screen voltage held.</summary>
    public static SmallSignal OfPentode(in TubeConductances d) => new(d.PlateByGrid, 1 / d.PlateByPlate);

    /// <summary>In triode connection, the current being that of plate and screen together.</summary>
    public static SmallSignal OfTriode(in TubeConductances d) =>
        new(d.PlateByGrid + d.ScreenByGrid, 1 / (d.PlateByPlate + d.PlateByScreen + d.ScreenByPlate + d.ScreenByScreen));

    /// <summary>From any law of plate current, by central differences over 2 mV; good to about 1e-8 for smooth laws.</summary>
    /// <param name="current">Plate current (A) from plate and grid voltage (V).</param>
    public static SmallSignal Of(Func<double, double, double> current, double vp, double vg)
    {
        ArgumentNullException.ThrowIfNull(current);
        const double step = 1e-3;
        return new(
            (current(vp, vg + step) - current(vp, vg - step)) / (2 * step),
            2 * step / (current(vp + step, vg) - current(vp - step, vg)));
    }
}
