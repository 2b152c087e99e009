using System.Collections.Immutable;
using SweepRig.Analysis.Studies;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>
/// How far the grid may go positive: reference sweeps first, then one ceiling after another, each followed by a rest and a reference sweep that must be as those before. It stops at the
/// first limit, when fold-back is beyond doubt, when the tube has not recovered, or at the highest ceiling asked for.
/// </summary>
public sealed record Exploration : Study
{
    /// <summary>Reference sweeps after one that failed, to see whether the tube comes back: each is rested for twice as long as the one before.</summary>
    public const int FollowUps = 3;

    /// <summary>Where a tube wanders by more than this between reference sweeps, a loss of a fifth of its emission (by Richardson's law a shift of 20 mV at 1050 K) could not be told.</summary>
    public const double MostBaselineVolts = 5e-3;

    /// <summary>Ceilings in a row at which the output must fold back.</summary>
    public const int FoldBackSteps = 2;

    private static readonly TimeSpan FirstFollowUp = TimeSpan.FromSeconds(10);

    private enum Stage
    {
        Heat,
        Settle,
        Baseline,
        BaselineRest,
        Measure,
        Rest,
        Reference,
        FollowUpRest,
        FollowUp,
    }

    private Exploration(RigIdentity rig, ExplorationSetup setup) : base(rig, setup)
    {
    }

    public static Exploration Begin(RigIdentity rig, ExplorationSetup setup)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(setup);
        return new(rig, setup);
    }

    public new ExplorationSetup Setup => (ExplorationSetup)base.Setup;

    private Stage Where { get; init; }

    private TimeSpan StageSince { get; init; }

    /// <summary>Sweeps before any positive drive.</summary>
    public ImmutableList<StudyRun> BaselineRuns { get; private init; } = [];

    /// <summary>What they say together; null before the last of them.</summary>
    public RepeatBaseline? Baseline { get; private init; }

    /// <summary>One a ceiling, in turn.</summary>
    public ImmutableList<ExplorationStep> Steps { get; private init; } = [];

    /// <summary>Reference sweeps after one that failed.</summary>
    public ImmutableList<RepeatCheck> Afterwards { get; private init; } = [];

    /// <summary>The run that the newest step was made in; for its calibration.</summary>
    internal RunHeader? LastHeader { get; private init; }

    public override StudyFindings Findings => ExplorationFindings.Of(this);

    /// <summary>The false alarms of the whole are shared among all checks that there can be.</summary>
    public double FalseAlarmsOfOne => Setup.FalseAlarms / Setup.Ceilings.Count;

    protected override StudyAct Due() => Where switch
    {
        Stage.Heat => new StudyAct.Heat("heater on", Setup.Fixture.Heater),
        Stage.Settle => Wait("warming and settling", Setup.Settle / Setup.HeaterSpeed),
        Stage.Baseline => Reference(StudyRole.Baseline, $"reference {BaselineRuns.Count + 1} of {Setup.BaselineSweeps} before positive drive"),
        Stage.BaselineRest => Wait("between references", Setup.Rest),
        Stage.Measure => Measure(),
        Stage.Rest => Wait($"rest after {StudyPlans.Volts(Ceiling)}", Setup.Rest),
        Stage.Reference => Reference(StudyRole.Reference, $"reference after {StudyPlans.Volts(Ceiling)}"),
        Stage.FollowUpRest => Wait("does it come back?", FirstFollowUp * Math.Pow(2, Afterwards.Count)),
        _ => Reference(StudyRole.Reference, $"reference {Afterwards.Count + 1} of {FollowUps} to see whether it comes back"),
    };

    protected override StudyForecast Forecast()
    {
        var reference = StudyPlans.Time(Rig, StudyPlans.Reference(Rig, Setup.Fixture));
        var time = TimeSpan.Zero;
        var acts = 0;
        if (Where <= Stage.Settle) time += Setup.Settle / Setup.HeaterSpeed;
        var baseline = Setup.BaselineSweeps - BaselineRuns.Count;
        time += baseline * (reference + Setup.Rest);
        acts += 2 * baseline + (Where <= Stage.Settle ? 2 - (int)Where : 0);
        foreach (var ceiling in Setup.Ceilings.Skip(Steps.Count(s => s.After is not null)))
        {
            time += StudyPlans.Time(Rig, StudyPlans.Measure(Rig, Setup.Fixture, ceiling)) + Setup.Rest + reference;
            acts += 3;
        }
        return new(acts, time, time, new(Setup.Ceiling.Value));
    }

    protected override Study Passed(StudyAct act) => Where switch
    {
        Stage.Heat => To(Stage.Settle),
        Stage.Settle or Stage.BaselineRest => To(Stage.Baseline),
        Stage.Rest => To(Stage.Reference),
        _ => To(Stage.FollowUp),
    };

    protected override Study Take(StudyAct act, StudyResult.Ran ran) => Where switch
    {
        Stage.Baseline => TakeBaseline(ran.Run),
        Stage.Measure => TakeMeasure(ran.Run),
        Stage.Reference => TakeReference(ran.Run),
        _ => TakeFollowUp(ran.Run),
    };

    private double Ceiling => Steps.Count == 0 || Steps[^1].After is not null ? Setup.Ceilings[Steps.Count] : Steps[^1].Ceiling;

    private Exploration To(Stage stage) => this with { Where = stage, StageSince = Elapsed };

    private StudyAct.WaitUntil Wait(string title, TimeSpan time) => new(title, StageSince + time);

    private StudyAct.Sweep Reference(StudyRole role, string title) => new(title, role, StudyPlans.Reference(Rig, Setup.Fixture), default);

    private StudyAct.Sweep Measure()
    {
        var plan = StudyPlans.Measure(Rig, Setup.Fixture, Ceiling);
        return new($"up to {StudyPlans.Volts(Ceiling)}, step {Steps.Count + 1} of {Setup.Ceilings.Count}", StudyRole.Measure, plan, plan.Stop);
    }

    private Study TakeBaseline(StudyRun run)
    {
        var next = this with { BaselineRuns = BaselineRuns.Add(run), LastHeader = run.Header };
        if (next.BaselineRuns.Count < Setup.BaselineSweeps) return next.To(Stage.BaselineRest);
        if (ScreeningLooksDead(run)) return next.Ending(StudyEnd.Dead, "the tube hardly conducts at 0 V drive, hot as it should be: heater open, a pin without contact, or a dead cathode");
        if (RepeatBaseline.Of([.. next.BaselineRuns.Select(r => r.Curves[0])], FalseAlarmsOfOne) is not { } baseline)
            return next.Ending(StudyEnd.Failed, $"the reference sweeps have fewer than {RepeatBaseline.LeastPoints} usable points in common: samples are missing, or a channel is at the end of its converter's range");
        next = next with { Baseline = baseline };
        return baseline.ShiftDeviation > MostBaselineVolts
            ? next.Ending(StudyEnd.Unsteady, $"before any positive drive the tube wandered by {new Volts(baseline.ShiftDeviation)} (standard deviation of its grid, {Setup.BaselineSweeps} sweeps), and more than {new Volts(MostBaselineVolts)} would hide a loss. Let it settle for longer, or screen it")
            : next.To(Stage.Measure);
    }

    private Exploration TakeMeasure(StudyRun run)
    {
        var step = ExplorationStep.Of(run, Ceiling, StudyPlans.PointSeconds(Rig, run.Header.Plan), Steps.Count == 0 ? 0 : Steps[^1].CoulombsSoFar);
        return (this with { Steps = Steps.Add(step), LastHeader = run.Header }).To(Stage.Rest);
    }

    private Study TakeReference(StudyRun run)
    {
        if (Baseline!.Check(run.Curves[0]) is not { } check) return Ending(StudyEnd.Failed, "most samples of the reference sweep are missing");
        var next = this with { Steps = Steps.SetItem(Steps.Count - 1, Steps[^1] with { After = check }) };
        if (!check.Repeats) return next.To(Stage.FollowUpRest);
        if (ExplorationJudge.Broken(next) is { } limit) return next.Ending(StudyEnd.Limit, limit);
        if (ExplorationJudge.FoldBack(next) is { } folds) return next.Ending(StudyEnd.FoldBack, folds);
        if (next.Steps.Count == Setup.Ceilings.Count) return next.Ending(StudyEnd.Completed, $"the highest drive asked for, {Setup.Ceiling}, was reached within all limits, and the tube recovered");
        if (ExplorationJudge.NextWouldBreak(next) is { } ahead) return next.Ending(StudyEnd.Limit, ahead);
        return next.To(Stage.Measure);
    }

    private Study TakeFollowUp(StudyRun run)
    {
        if (Baseline!.Check(run.Curves[0]) is not { } check) return Ending(StudyEnd.Failed, "most samples of the reference sweep are missing");
        var next = this with { Afterwards = Afterwards.Add(check) };
        if (!check.Repeats && next.Afterwards.Count < FollowUps) return next.To(Stage.FollowUpRest);
        return next.Ending(StudyEnd.NotRecovered, ExplorationJudge.NotRecovered(next));
    }

    private static bool ScreeningLooksDead(StudyRun run) => Screening.ScreeningLooks.CurrentAtEnd(run.Curves[0]) < Screening.ScreeningLooks.LeastAmps;
}
