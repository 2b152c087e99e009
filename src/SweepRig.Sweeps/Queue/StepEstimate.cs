using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Sweeps.Queue;

/// <summary>What a step will take. Times are expected ones, loads are bounds.</summary>
internal static class StepEstimate
{
    /// <summary>Supplies, program, start and end of a pass on the link; measured on the simulated rig, rounded up.</summary>
    private static readonly TimeSpan EachPass = TimeSpan.FromMilliseconds(250), EachRun = TimeSpan.FromMilliseconds(500);

    /// <summary>Cold steps, transfer, grid current and noise of a screening together.</summary>
    private static readonly TimeSpan ScreeningRest = TimeSpan.FromSeconds(32);

    /// <param name="tube">One of those that it is done to.</param>
    public static StepNeeds Of(NightWork work, Tube tube, NightFacts facts)
    {
        var plan = work.Plan;
        if (NightStudies.Of(work, "", tube, 0, facts.Held, facts.RatingsOf(tube.TypeName), facts.HeaterSpeed) is { } setup)
        {
            var left = StudyRecord.Begin(facts.Rig, setup).Left;
            var charge = setup switch
            {
                // It stops by itself before it passes that.
                ExplorationSetup exploration => exploration.Limits.GridCoulombs,
                SeriesSetup series => series.Sweeps * Coulombs(series.PlanFor(facts.Rig), facts),
                _ => 0,
            };
            return Needs(left.Time, left.HeaterTime, charge, fromCold: false, left.Ceiling.Value);
        }
        return work is NightWork.Screen ? Needs(Screening(facts), Screening(facts), 0, fromCold: true, 0) : Needs(Sweep(plan, facts), Sweep(plan, facts), Coulombs(plan, facts), fromCold: false, plan.Stop.Value);

        StepNeeds Needs(TimeSpan takes, TimeSpan hot, double coulombs, bool fromCold, double highest)
        {
            var amps = RailAmps(plan, facts);
            return new(takes, hot, coulombs, amps, amps * Rail(plan), fromCold, highest);
        }
    }

    /// <summary>
    /// Most charge into the grid: where current flows into it the grid is not below the cathode, so that by Ohm's law no more than drive over stopper can flow.
    /// </summary>
    public static double Coulombs(SweepPlan plan, NightFacts facts)
    {
        if (plan.Stop.Value <= 0) return 0;
        var seconds = SweepTime.LongestPointMicroseconds(plan, facts.Rig.ConversionMicroseconds) * 1e-6;
        var step = (plan.Stop.Value - plan.Start.Value) / (plan.Points - 1);
        var volts = plan.Adaptive is not null
            ? plan.Stop.Value * plan.Points
            : Enumerable.Range(0, plan.Points).Sum(i => Math.Max(0, plan.Start.Value + i * step)) * (plan.Direction == SweepDirection.UpAndDown ? 2 : 1) * plan.Repeats * (plan.SecondSource?.Steps ?? 1);
        return volts / plan.Connection.GridStopper.Value * seconds;
    }

    /// <summary>All that the resistors let through with a shorted tube, or what the interlock lets through.</summary>
    private static double RailAmps(SweepPlan plan, NightFacts facts)
    {
        var wiring = plan.Connection;
        var through = Rail(plan) / wiring.PlateResistor.Value + (wiring.Kind == ConnectionKind.Pentode ? Rail(plan) / wiring.ScreenResistor.Value : 0);
        return Math.Min(through, facts.Limits.CathodeCurrent.Value);
    }

    private static double Rail(SweepPlan plan) => plan.SecondSource is { Source: SteppedSource.PlateRail } second ? Math.Max(second.From.Value, second.To.Value) : plan.Connection.PlateRail.Value;

    private static TimeSpan Sweep(SweepPlan plan, NightFacts facts)
    {
        var passes = plan.Adaptive is { } rule ? rule.Passes(plan.Points).Count() : (plan.Direction == SweepDirection.UpAndDown ? 2 : 1) * plan.Repeats * (plan.SecondSource?.Steps ?? 1);
        var points = plan.Adaptive is null ? (long)plan.Points * passes : plan.Points;
        var heaterChanges = plan.SecondSource is { Source: SteppedSource.Heater } second ? second.Steps * plan.Repeats - 1 : 0;
        return SweepTime.Floor(SweepTime.PointMicroseconds(plan, facts.Rig.ConversionMicroseconds), points) + passes * EachPass + EachRun + heaterChanges * facts.WarmAfter;
    }

    private static TimeSpan Screening(NightFacts facts)
    {
        var usual = new ScreeningSetup("", new("", ""), 0, new(ConnectionKind.Pentode, default, default, default, default, default, default));
        return (usual.WarmUp + usual.FirstMinutes + usual.LowHeater) / facts.HeaterSpeed + ScreeningRest;
    }

    /// <summary>The sweep by which work is held against rig and type.</summary>
    public static SweepPlan Checked(NightWork work) => work switch
    {
        NightWork.Explore explore => work.Plan with { Stop = explore.Ceiling, Adaptive = null },
        NightWork.Screen or NightWork.WarmUp or NightWork.Soak or NightWork.Life => work.Plan with { Start = new(Math.Min(work.Plan.Start.Value, -1)), Stop = new Volts(0), SecondSource = null, Adaptive = null },
        _ => work.Plan,
    };
}
