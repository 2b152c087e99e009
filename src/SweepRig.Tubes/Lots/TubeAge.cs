using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Lots;

/// <summary>What a tube has behind it.</summary>
/// <param name="HotHours">Hours with the heater on, 0 or more.</param>
/// <param name="CutOffHours">Of these, hours without current.</param>
public readonly record struct TubeAge(double HotHours, double CutOffHours)
{
    /// <summary>Hours in which the emission falls to 1/e (illustrative, no source).</summary>
    private const double EmissionHours = 8_000;

    /// <summary>The leakage from grid to cathode doubles in so many hours: what the cathode loses settles on the mica (illustrative, no source).</summary>
    private const double LeakHours = 1_000;

    /// <summary>Ordinary cathodes; those that poison at cut-off are a defect (illustrative, no source).</summary>
    private const double InterfaceOhmsPerHour = 0.02;

    private const double InterfaceFarads = 0.01e-6;

    /// <summary>Less is not told from nothing.</summary>
    private const double LeastInterfaceOhms = 5;

    /// <summary>The tube after these hours.</summary>
    public Specimen Apply(Specimen fresh)
    {
        var aged = WithEmission(fresh.Parameters, Math.Exp(-HotHours / EmissionHours));
        aged = aged with { GridCathodeLeakSiemens = aged.GridCathodeLeakSiemens * (1 + HotHours / LeakHours) };
        var ohms = CutOffHours * InterfaceOhmsPerHour;
        var behaviour = ohms < LeastInterfaceOhms
            ? fresh.Behaviour
            : fresh.Behaviour with { Interface = new(ohms, InterfaceFarads, InterfaceOhmsPerHour) };
        return new(aged, behaviour);
    }

    /// <summary>
    /// A cathode with that fraction of its emission. By Richardson's law at a constant emission constant its work function is higher by (kT/e) ln(1/factor), and the contact
    /// potential of the grid falls by as much. The current at a given field falls a little too, as in the worn example tube (a tenth of the emission, 0.8 of the perveance).
    /// </summary>
    /// <param name="factor">Above 0.</param>
    public static TubeParameters WithEmission(TubeParameters tube, double factor) => tube with
    {
        Emission = tube.Emission * factor,
        Perveance = tube.Perveance * Math.Pow(factor, 0.1),
        GridOffset = tube.GridOffset + TubeModel.BoltzmannOverCharge * tube.RatedTemperatureKelvin * Math.Log(factor),
    };

    internal static TubeAge Draw(LotRandom random)
    {
        var hours = Math.Min(random.Exponential(1_500), 5_000);
        return new(hours, hours * random.Uniform(0, 0.5));
    }
}
