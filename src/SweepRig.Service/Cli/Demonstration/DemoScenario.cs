using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>Volunteers of a small maritime museum build a tide-clock from spares of a coast radio station: rail 28 V, bias -14 V, heaters 6.3 V.</summary>
public static class DemoScenario
{
    public static Tube Tube { get; } = new("SKUA-014", "6AU6", "Skua");

    /// <summary>The same drive in both connections, far enough positive to tell them apart.</summary>
    public static IReadOnlyList<SweepPlan> Plans { get; } = [PlanExamples.FarPositivePentode.Plan, PlanExamples.FarPositiveTriode.Plan];

    /// <summary>Just what the plans need. It is ended as soon as they are done.</summary>
    public static PermitRequest Permit { get; } = new(Plans.Max(p => p.Stop.Value), DurationSeconds: 300, "demonstration: fold-back in pentode and in triode connection, simulated tube");

    /// <summary>A small lot of spares, out of which the counter stage is built.</summary>
    public const string Lot = "Petrel", LotType = "6AU6";

    public const int LotTubes = 10;

    /// <summary>Of the resistors that the counter stage is built with.</summary>
    public const string Series = "E12";

    /// <summary>Made of each tube of the lot. 41 points say enough of a tube and take a sixth of a second.</summary>
    public static SweepPlan Screening { get; } = PlanExamples.GentlePentode.Plan with { Points = 41 };

    public const string Cautions =
        "Extra-low voltage only, and hot glass burns; the interlocks protect tubes, not people: follow local codes and licensed practice.";
}
