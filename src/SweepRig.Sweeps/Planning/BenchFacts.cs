using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Planning;

/// <summary>What a plan is checked against.</summary>
/// <param name="Rig">The rig at hand.</param>
/// <param name="Calibration">Its calibration.</param>
/// <param name="Limits">Limits in force: the session's, nowhere looser than the rig's own.</param>
/// <param name="Permit">The permit in force, if any.</param>
/// <param name="NowUtc">When the sweep would be started.</param>
/// <param name="WarmUpLeft">How long the heater still needs before the first pass.</param>
/// <param name="WarmAfter">Time a cathode is given whenever its heater voltage was changed.</param>
/// <param name="Ratings">What the tube's type may bear; null for a type that is not in the catalogue, which is then not checked.</param>
public sealed record BenchFacts(
    RigIdentity Rig,
    RigCalibration Calibration,
    RigLimits Limits,
    Permit? Permit,
    DateTimeOffset NowUtc,
    TimeSpan WarmUpLeft,
    TimeSpan WarmAfter,
    TypeRatings? Ratings);
