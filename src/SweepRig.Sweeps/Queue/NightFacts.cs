using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Planning;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Sweeps.Queue;

/// <summary>What a night is held against.</summary>
/// <param name="Rig">The rig at hand.</param>
/// <param name="Limits">In force on it while nobody is there.</param>
/// <param name="WarmAfter">Time that a cathode is given.</param>
/// <param name="HeaterSpeed">How much faster than life the heaters of a simulated rig warm; 1 otherwise.</param>
/// <param name="BeginsUtc">Begin of the night's own time.</param>
public sealed record NightFacts(RigIdentity Rig, RigCalibration Calibration, RigLimits Limits, TimeSpan WarmAfter, double HeaterSpeed, TypeCatalogue Types, DateTimeOffset BeginsUtc)
{
    /// <summary>Longest that a permit may last while nobody is there.</summary>
    public TimeSpan LongestPermit { get; init; } = Permit.MaxDuration;

    /// <summary>A cathode at 1000 K has lost its emission in a fraction of this. Common practice, no source.</summary>
    private static readonly TimeSpan RealCooling = TimeSpan.FromMinutes(3);

    public TimeSpan CoolAfter => RealCooling / HeaterSpeed;

    /// <summary>What the tube of that type may bear; null for a type that is not known.</summary>
    public TypeRatings? RatingsOf(string type) => Types.Find(type) is { } known ? CatalogueRatings.For(known) : null;

    /// <summary>Heater current at a voltage, by the table; null where none gives it.</summary>
    public double? HeaterAmps(string type, Volts heater) =>
        Types.Find(type)?.Heaters.Where(h => Math.Abs(h.Voltage.Value - heater.Value) <= 0.1 * h.Voltage.Value + 1e-9).Select(h => (double?)h.Current.Value).FirstOrDefault();

    /// <summary>The rig as if these limits were its own.</summary>
    internal RigIdentity Held => Rig with { HardLimits = Limits };

    internal BenchFacts For(string type, NightPermit? permit) => new(
        Rig, Calibration, Limits, permit is null ? null : new Permit(Guid.Empty, permit.Ceiling, LongestPermit, permit.Reason, BeginsUtc), BeginsUtc, TimeSpan.Zero, WarmAfter, RatingsOf(type));
}
