using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Families;

/// <summary>A run as a part of a family: all its passes on one tube in one fixture.</summary>
/// <param name="Connection">How the tube was wired.</param>
/// <param name="Stepped">What was stepped from pass to pass; null for nothing.</param>
/// <param name="Curves">Its passes.</param>
/// <param name="Calibration">That the curves were derived with.</param>
public sealed record FamilyRun(Connection Connection, SteppedSource? Stepped, IReadOnlyList<Curve> Curves, RigCalibration Calibration);
