using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Planning;

/// <summary>A plan made ready for one rig.</summary>
/// <param name="Run">What it will do, for people.</param>
/// <param name="Passes">One program a pass, in order.</param>
public sealed record SweepProgram(PlannedRun Run, IReadOnlyList<PassProgram> Passes);

/// <param name="Header">The pass as it goes on record.</param>
/// <param name="Program">What the rig runs.</param>
/// <param name="Supplies">Heater and plate rail during the pass.</param>
/// <param name="Floor">Least time it can take.</param>
public sealed record PassProgram(PassHeader Header, RigProgram Program, SupplySetting Supplies, TimeSpan Floor);
