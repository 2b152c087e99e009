using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Running;

public sealed record RunnerOptions
{
    /// <summary>How long a heater must have been on before a sweep. Default 40 s; a real cathode needs 10 to 30 s (common practice, no source).</summary>
    public TimeSpan WarmAfter { get; init; } = TimeSpan.FromSeconds(40);

    /// <summary>Version written into every run. Default <c>unknown</c>.</summary>
    public string SoftwareVersion { get; init; } = "unknown";

    /// <summary>Name of the rig in what is counted and traced. Default <c>rig-1</c>.</summary>
    public string RigName { get; init; } = "rig-1";

    /// <summary>Limits of this session; where looser than the rig's own, the rig's hold. Default none: the rig's own.</summary>
    public RigLimits? SessionLimits { get; init; }

    /// <summary>What this bench has set of the interlocks. Default: nothing.</summary>
    public RuleSettings Rules { get; init; } = RuleSettings.Default;

    /// <summary>Socket that is selected until a sweep names another. Default 0.</summary>
    public int DefaultSocket { get; init; }

    /// <summary>Calibration of a rig. Default nominal.</summary>
    public Func<RigIdentity, RigCalibration> CalibrationOf { get; init; } = RigCalibration.Nominal;

    /// <summary>Ratings of a type by its name; null for an unknown type, which is then not checked against ratings. Default: the types that the project brings.</summary>
    public Func<string, TypeRatings?> RatingsOf { get; init; } = CatalogueRatings.BuiltIn.Of;

    /// <summary>
    /// Chooses the next drives of an adaptive sweep from all blocks so far; off the owner task. Given are the run, its blocks and how many drives are wanted. Default none:
    /// adaptive sweeps are refused.
    /// </summary>
    public Func<RunHeader, IReadOnlyList<SampleBlock>, int, CancellationToken, Task<ChosenDrives>>? ChooseDrives { get; init; }

    /// <summary>
    /// Told when a step of the interlocks broke one of their invariants: its name, and a sentence for people. The bench has been made safe by then. On the owner task; must
    /// not wait. Default none: the log has it anyway.
    /// </summary>
    public Action<string, string>? OnInvariantBroken { get; init; }

    /// <summary>Blocks that may wait for the disk before the run is ended. Default 20,000, about 20 s of the fastest rig.</summary>
    public int MaxBlocksWaiting { get; init; } = 20_000;
}
