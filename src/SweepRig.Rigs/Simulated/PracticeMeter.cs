using SweepRig.Domain;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated;

/// <summary>
/// A reference meter on the simulated rig, so that a calibration can be practised without a bench. It has one gain and one zero error, both anywhere within what its maker
/// promises, and rounds to its last place.
/// </summary>
/// <param name="rig">The rig.</param>
/// <param name="meter">What its maker promises.</param>
/// <param name="seed">Decides its errors; the same seed, the same meter.</param>
public sealed class PracticeMeter(SimulatedRig rig, ReferenceMeter meter, int seed)
{
    private readonly double _gain = 1 + Errors(seed).Gain * meter.GainLimit;
    private readonly double _zero = Errors(seed).Zero * meter.ZeroLimitVolts;
    private readonly double _ohms = 1 + Errors(seed).Ohms * meter.OhmsPercent / 100;

    /// <summary>Reads a pin as it stood when the rig took its last sample, volts.</summary>
    public double Read(RigChannel pin) => Show(rig.TrueVolts(pin));

    /// <summary>Reads any voltage, volts.</summary>
    public double Show(double volts) => Math.Round((_gain * volts + _zero) / meter.CountVolts) * meter.CountVolts;

    /// <summary>Reads a resistor of the fixture, ohms: 0.3 % above what stands on it.</summary>
    public double Ohms(double nominalOhms) => Math.Round(1.003 * nominalOhms * _ohms, 4);

    private static (double Gain, double Zero, double Ohms) Errors(int seed)
    {
        var random = new Random(seed ^ 0x3E7E5);
        double Uniform() => 2 * random.NextDouble() - 1;
        return (Uniform(), Uniform(), Uniform());
    }
}
