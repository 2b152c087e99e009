using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Queue;

/// <summary>What a step will take. Times are expected ones, loads are bounds.</summary>
internal static class StepEstimate
{
    /// <summary>Supplies, program, start and end of a pass on the link; measured on the simulated rig, rounded up.</summary>
    private static readonly TimeSpan EachPass = TimeSpan.FromMilliseconds(250), EachRun = TimeSpan.FromMilliseconds(500);

    /// <summary>Cold steps, transfer, grid current and noise of a screening together.</summary>
    private static readonly TimeSpan ScreeningRest = TimeSpan.FromSeconds(32);

    public static StepNeeds Of(NightWork work, NightFacts facts)
    {
        var plan = work.Plan;
        var sweep = Sweep(plan, facts);
        return work switch
        {
            NightWork.Screen => Needs(Screening(facts), 0, fromCold: true, 0),
            NightWork.Soak soak => Needs(soak.For + (Math.Floor(soak.For / soak.Every) + 2) * sweep, (Math.Floor(soak.For / soak.Every) + 2) * Coulombs(plan, facts), false, plan.Stop.Value),
            NightWork.Repeat repeat => Needs(Later(repeat.Every, sweep) * (repeat.Times - 1) + sweep, repeat.Times * Coulombs(plan, facts), false, plan.Stop.Value),
            NightWork.WarmUp warm => Needs(warm.For / facts.HeaterSpeed, 0, true, 0),
            NightWork.Explore explore => Exploration(explore, facts),
            NightWork.Life life => Needs((life.On + life.Off) * life.Cycles + (life.Cycles / life.SweepEvery + 1) * (sweep + facts.WarmAfter), (life.Cycles / life.SweepEvery + 1) * Coulombs(plan, facts), false, plan.Stop.Value),
            _ => Needs(sweep, Coulombs(plan, facts), false, plan.Stop.Value),
        };

        StepNeeds Needs(TimeSpan takes, double coulombs, bool fromCold, double highest)
        {
            var amps = RailAmps(plan, facts);
            return new(takes, coulombs, amps, amps * Rail(plan), fromCold, highest);
        }

        StepNeeds Exploration(NightWork.Explore asked, NightFacts on)
        {
            var steps = Math.Ceiling(asked.Ceiling.Value / asked.Step.Value);
            var highest = plan with { Stop = asked.Ceiling };
            return Needs(steps * 2 * Sweep(highest, on), steps * Coulombs(highest, on), false, asked.Ceiling.Value);
        }
    }

    /// <summary>
    /// Most charge into the grid: where current flows into it the grid is not below the cathode, so that by Ohm's law no more than drive over stopper can flow.
    /// </summary>
    public static double Coulombs(SweepPlan plan, NightFacts facts)
    {
        if (plan.Stop.Value <= 0) return 0;
        var seconds = SweepTime.PointMicroseconds(plan, facts.Rig.ConversionMicroseconds) * 1e-6 + (plan.Settle?.TimeoutMicroseconds ?? 0) * 1e-6;
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

    private static TimeSpan Later(TimeSpan one, TimeSpan other) => one > other ? one : other;

    /// <summary>The sweep by which work is held against rig and type.</summary>
    public static SweepPlan Checked(NightWork work) => work switch
    {
        NightWork.Explore explore => work.Plan with { Stop = explore.Ceiling, Adaptive = null },
        NightWork.Screen or NightWork.WarmUp => work.Plan with { Start = new(Math.Min(work.Plan.Start.Value, -1)), Stop = new Volts(0), SecondSource = null, Adaptive = null },
        _ => work.Plan,
    };
}
