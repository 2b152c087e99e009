namespace SweepRig.Tubes.Lots;

public enum Electrode
{
    Heater,
    Cathode,
    Grid,
    Screen,
    Plate,
}

/// <summary>An ohmic path between two electrodes that should not be there.</summary>
/// <param name="Ohms">Above 0.</param>
public readonly record struct Shunt(Electrode A, Electrode B, double Ohms);

/// <summary>
/// A layer between the coating and the sleeve of the cathode: a resistance in parallel with a capacitance, in series with the cathode. Grows where the heater is on
/// and no current flows.
/// </summary>
/// <remarks>Nearly 0 in a new tube, up to a few kilohms with about 0.01 µF; IEC 60151-9 (abstract), Osterwald, Electric Radio 54 (1993).</remarks>
/// <param name="Ohms">At present, 0 or more.</param>
/// <param name="Farads">Above 0.</param>
/// <param name="OhmsPerCutOffHour">Growth for each hour hot without current, 0 or more; illustrative.</param>
public sealed record CathodeInterface(double Ohms, double Farads, double OhmsPerCutOffHour = 0);

/// <summary>A pin that touches its socket badly: a resistance in series with the cathode that comes and goes.</summary>
/// <param name="Ohms">While bad.</param>
/// <param name="GoodSeconds">Mean time that it stays good when nobody touches it.</param>
/// <param name="BadSeconds">Mean time that it stays bad.</param>
public sealed record LooseContact(double Ohms, double GoodSeconds, double BadSeconds);

/// <summary>What a tap on the bulb does: a ringing of the electrodes, seen as a voltage on the grid that dies away.</summary>
/// <param name="VoltsPerTap">Amplitude at the tap, on the effective grid voltage.</param>
/// <param name="Hertz">Pitch of the ringing.</param>
/// <param name="DecaySeconds">To 1/e.</param>
public sealed record Microphony(double VoltsPerTap, double Hertz, double DecaySeconds);

/// <summary>
/// Emission that a cathode loses while its grid is driven far positive: what the heated grid gives off poisons the coating. A part comes back by itself, the rest is lost.
/// </summary>
/// <remarks>
/// That residual gas poisons oxide cathodes and that the emission comes back in part is known (initial decay of emission and its restoring, Tohoku Univ. report, core.ac.uk work
/// 71054099, abstract). That the loss goes with the energy that the grid takes up beyond what it bears is a model, and its numbers are illustrative (no source).
/// </remarks>
/// <param name="ThresholdWatts">Power of the grid that does no harm, 0 or more.</param>
/// <param name="Joules">Energy beyond that at which the emission falls to 1/e, above 0.</param>
/// <param name="Lasting">Part of the loss that stays, 0 to 1.</param>
/// <param name="RecoverySeconds">In which the rest falls to 1/e, above 0.</param>
public sealed record Poisoning(double ThresholdWatts, double Joules, double Lasting, double RecoverySeconds);

/// <summary>What being hot and being switched on cost a tube; illustrative, no source.</summary>
/// <param name="HotHours">In which the emission falls to 1/e, above 0.</param>
/// <param name="LossPerSwitchOn">Part of the emission that each switching on of the heater costs, 0 or more and below 1.</param>
/// <param name="BreaksAt">The switching on at which the heater breaks, from 1; 0 for never.</param>
public sealed record Wear(double HotHours, double LossPerSwitchOn, int BreaksAt = 0);

/// <summary>A shift of the effective grid voltage after the heater is switched on that dies away: a tube that settles slowly. Illustrative, no source.</summary>
/// <param name="Volts">At the switching on.</param>
/// <param name="Seconds">To 1/e, above 0.</param>
public sealed record SlowSettling(double Volts, double Seconds);

/// <summary>What a tube does besides what its constants say. Immutable; the default is a tube without any of it. All of it illustrative where no source is named.</summary>
public sealed record TubeBehaviour
{
    public static TubeBehaviour None { get; } = new();

    public bool HeaterOpen { get; init; }

    /// <summary>How many times slower than others it warms. Range: 0.1 to 20.</summary>
    public double WarmUpFactor { get; init; } = 1;

    public IReadOnlyList<Shunt> Shunts { get; init; } = [];

    public CathodeInterface? Interface { get; init; }

    public LooseContact? Contact { get; init; }

    public Microphony? Microphony { get; init; }

    /// <summary>Standard deviation of a slow wandering of the effective grid voltage, a first-order process. Unit: V.</summary>
    public double WanderVolts { get; init; }

    /// <summary>Time constant of that. Unit: s.</summary>
    public double WanderSeconds { get; init; } = 60;

    /// <summary>Amplitude at mains frequency on the effective grid voltage, besides what the rig's own heater wiring brings. Unit: V.</summary>
    public double HumVolts { get; init; }

    public Poisoning? Poisoning { get; init; }

    public Wear? Wear { get; init; }

    public SlowSettling? Settling { get; init; }
}

/// <summary>All that the simulated bench is told of a tube.</summary>
public sealed record Specimen(Model.TubeParameters Parameters, TubeBehaviour Behaviour);
