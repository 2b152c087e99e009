using System.Collections.Immutable;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>A soak, or a plan repeated every so many minutes.</summary>
public sealed record Series : Study
{
    private const int DrawDwell = 1_000_000, DrawConversions = 64;

    /// <summary>What a run costs around its samples; so much before the next sweep is due nothing more is begun.</summary>
    private static readonly TimeSpan Margin = TimeSpan.FromSeconds(3), LeastDraw = TimeSpan.FromSeconds(20);

    private enum Stage
    {
        Heat,
        Settle,
        Wait,
        Draw,
        Sweep,
    }

    private Series(RigIdentity rig, SeriesSetup setup) : base(rig, setup)
    {
    }

    public static Series Begin(RigIdentity rig, SeriesSetup setup)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(setup);
        return new(rig, setup);
    }

    public new SeriesSetup Setup => (SeriesSetup)base.Setup;

    private Stage Where { get; init; }

    private TimeSpan HotSince { get; init; }

    private TimeSpan SettledAt => HotSince + Setup.Settle / Setup.HeaterSpeed;

    /// <summary>The sweeps so far, with when each was begun.</summary>
    public ImmutableList<(StudyRun Run, TimeSpan At)> Runs { get; private init; } = [];

    public override StudyFindings Findings => SeriesFindings.Of(this);

    protected override StudyAct Due()
    {
        var due = SettledAt + Setup.DueAt(Runs.Count);
        switch (Where)
        {
            case Stage.Heat:
                return new StudyAct.Heat("heater on", Setup.Fixture.Heater);
            case Stage.Settle:
                return new StudyAct.WaitUntil("warming and settling", SettledAt);
            case Stage.Draw:
                var time = due - Elapsed - Margin;
                return new StudyAct.Watch(
                    "drawing current at 0 V", StudyRole.Watch, StudyPlans.Hold("soak at 0 V", Setup.Fixture, 0, time, DrawDwell, DrawConversions, Rig.ConversionMicroseconds));
            case Stage.Wait:
                return new StudyAct.WaitUntil($"until sweep {Runs.Count + 1} of {Setup.Sweeps}", due);
            default:
                var plan = Setup.PlanFor(Rig);
                return new StudyAct.Sweep(
                    $"sweep {Runs.Count + 1} of {Setup.Sweeps}", Runs.Count < Setup.AtFirst ? StudyRole.Baseline : StudyRole.Measure, plan, plan.Stop.Value > 0 ? plan.Stop : default);
        }
    }

    protected override StudyForecast Forecast()
    {
        var plan = Setup.PlanFor(Rig);
        var end = (Where <= Stage.Settle ? Elapsed + Setup.Settle / Setup.HeaterSpeed : SettledAt) + Setup.DueAt(Setup.Sweeps - 1) + StudyPlans.Time(Rig, plan);
        var left = end > Elapsed ? end - Elapsed : TimeSpan.Zero;
        return new((Setup.Sweeps - Runs.Count) * (Setup.Draws ? 3 : 2) + (Where <= Stage.Settle ? 1 : 0), left, left, plan.Stop.Value > 0 ? plan.Stop : default);
    }

    protected override Study Passed(StudyAct act) => Where switch
    {
        Stage.Heat => this with { Where = Stage.Settle, HotSince = Elapsed },
        Stage.Settle => this with { Where = Stage.Sweep },
        _ => this with { Where = Stage.Sweep },
    };

    protected override Study Take(StudyAct act, StudyResult.Ran ran)
    {
        if (Where == Stage.Draw) return this with { Where = Stage.Wait };
        var next = this with { Runs = Runs.Add((ran.Run, ran.BegunAt)) };
        if (next.Runs.Count == Setup.Sweeps) return next.Ending(StudyEnd.Completed, $"all {Setup.Sweeps} sweeps were made");
        var left = SettledAt + Setup.DueAt(next.Runs.Count) - Elapsed;
        return next with { Where = Setup.Draws && left > LeastDraw ? Stage.Draw : Stage.Wait };
    }
}
