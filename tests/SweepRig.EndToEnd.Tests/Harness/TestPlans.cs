using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Plans in the conditions of the tide-clock: rail 28 V, bias -14 V.</summary>
public static class TestPlans
{
    /// <summary>Negative drive only; about half a second.</summary>
    public static JsonNode Short => Document(PlanExamples.GentlePentode.Plan);

    public const int BriefPoints = 400;

    /// <summary>Negative drive only, just long enough (2 s) to be cut short.</summary>
    public static JsonNode Brief => Document(PlanExamples.GentlePentode.Plan with { Name = "brief look", Points = BriefPoints, Direction = SweepDirection.Up, DwellMicroseconds = 5_000 });

    /// <summary>Negative drive only, slow enough (10 s) to be interrupted.</summary>
    public static JsonNode Long => Document(PlanExamples.GentlePentode.Plan with
    {
        Name = "long look", Points = 1_000, DwellMicroseconds = 10_000,
    });

    /// <summary>Up to +24 V and slow enough (10 s) to be interrupted while the drive is positive; needs a permit.</summary>
    public static JsonNode LongPositive => Document(PlanExamples.FarPositivePentode.Plan with
    {
        Name = "long and positive", Start = new Volts(1), Stop = new Volts(24), Points = 1_000, Direction = SweepDirection.Up, DwellMicroseconds = 10_000,
    });

    public static JsonNode Document(SweepPlan plan) => JsonNode.Parse(PlanDocument.Write(plan))!;
}
