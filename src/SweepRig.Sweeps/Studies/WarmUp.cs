using System.Collections.Immutable;
using SweepRig.Analysis;
using SweepRig.Analysis.Studies;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>Switched on from cold and watched at 0 V drive, several times over.</summary>
public sealed record WarmUp : Study
{
    /// <summary>
    /// A cathode is given so much more than it took, since mains, supply and the next tube differ (common practice, no source).
    /// </summary>
    public const double Margin = 1.2;

    private const double RoundSeconds = 5;

    private const int Dwell = 10_000, Conversions = 64;

    private enum Stage
    {
        Cool,
        Cold,
        Watch,
    }

    private WarmUp(RigIdentity rig, WarmUpSetup setup) : base(rig, setup)
    {
    }

    public static WarmUp Begin(RigIdentity rig, WarmUpSetup setup)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(setup);
        return new(rig, setup);
    }

    public new WarmUpSetup Setup => (WarmUpSetup)base.Setup;

    private Stage Where { get; init; }

    private TimeSpan OffSince { get; init; }

    /// <summary>One a time from cold.</summary>
    public ImmutableList<WarmUpTimes> Seen { get; private init; } = [];

    public override StudyFindings Findings
    {
        get
        {
            var recommended = Recommended();
            List<StudyFigure> figures =
            [
                new("warm-up.recommended", "time to give this cathode before a sweep", recommended),
                new("warm-up.to-50", "from cold to 50 % of the final current", Mean(t => t.ToHalf)),
                new("warm-up.to-90", "from cold to 90 %", Mean(t => t.ToMost)),
                new("warm-up.to-99", "from cold to 99 %", Mean(t => t.ToAll)),
            ];
            List<string> notes =
            [
                FormattableString.Invariant($"Current of plate and screen at 0 V drive; {Seen.Count} of {Setup.Times} times, each after {Setup.Cool.TotalSeconds / Setup.HeaterSpeed:0.#} s without heater."),
                "This is the heating of the cathode (IEC 60151-8, cathode heating time, title from memory), not the warm-up of a heater in a series string (EIA RS-192 by name, from memory), which is another figure. No type of the catalogue states one.",
                FormattableString.Invariant($"Recommended is {Margin} times the time to 99 %, rounded up to {RoundSeconds:0} s."),
            ];
            if (Setup.HeaterSpeed > 1) notes.Add(FormattableString.Invariant($"The simulated heater warms {Setup.HeaterSpeed:0.##} times faster than life: all times are shorter by that."));
            if (Seen.Any(t => !t.CameToRest)) notes.Add("The current had not come to rest by the end, so that the times are short; watch for longer.");
            if (Setup.BenchWarmUp is { } bench && recommended.Value is { } seconds)
            {
                notes.Add(seconds > bench.TotalSeconds
                    ? FormattableString.Invariant($"This bench sweeps {bench.TotalSeconds:0.#} s after the heater was switched on, which is too soon for this tube.")
                    : FormattableString.Invariant($"This bench sweeps {bench.TotalSeconds:0.#} s after the heater was switched on, which is enough."));
            }
            return new(StudyKind.WarmUp, End, Because, figures, [.. Seen.Select((t, i) => Drawn(t, i))], notes);
        }
    }

    protected override StudyAct Due() => Where switch
    {
        Stage.Cool => new StudyAct.Cool("heater off"),
        Stage.Cold => new StudyAct.WaitUntil("cooling", OffSince + Setup.Cool / Setup.HeaterSpeed),
        _ => new StudyAct.Watch(
            $"from cold, {Seen.Count + 1} of {Setup.Times}", StudyRole.Watch,
            StudyPlans.Hold("warming up", Setup.Fixture, 0, Setup.Watch / Setup.HeaterSpeed, Setup.HeaterSpeed > 1 ? Dwell / 10 : Dwell, Setup.HeaterSpeed > 1 ? Conversions / 4 : Conversions, Rig.ConversionMicroseconds)),
    };

    protected override StudyForecast Forecast()
    {
        var left = Setup.Times - Seen.Count;
        return new(3 * left, left * (Setup.Cool + Setup.Watch) / Setup.HeaterSpeed, left * Setup.Watch / Setup.HeaterSpeed, default);
    }

    protected override Study Passed(StudyAct act) => Where == Stage.Cool ? this with { Where = Stage.Cold, OffSince = Elapsed } : this with { Where = Stage.Watch };

    protected override Study Take(StudyAct act, StudyResult.Ran ran)
    {
        var times = WarmUpTimes.Of(ran.Run.Curves[0]);
        var next = this with { Seen = Seen.Add(times), Where = Stage.Cool };
        if (!(times.Final >= WarmUpTimes.LeastAmps))
            return next.Ending(StudyEnd.Dead, FormattableString.Invariant($"after {Setup.Watch.TotalSeconds / Setup.HeaterSpeed:0.#} s of heating hardly any current flows ({Engineering.Format(times.Final, "A", 2)} at 0 V drive): heater open, a pin without contact, or a dead cathode"));
        return next.Seen.Count == Setup.Times ? next.Ending(StudyEnd.Completed, $"it was switched on from cold {Setup.Times} times") : next;
    }

    private Figure Mean(Func<WarmUpTimes, Figure> of)
    {
        Figure[] all = [.. Seen.Select(of).Where(f => f.Value is not null)];
        if (all.Length == 0) return Seen.Count == 0 ? Figure.None("s", "not measured yet") : of(Seen[^1]);
        var mean = all.Average(f => f.Value!.Value);
        // What one time differs from the next, and what they have in common.
        var spread = all.Length < 2 ? 0 : Math.Sqrt(all.Sum(f => Math.Pow(f.Value!.Value - mean, 2)) / (all.Length - 1) / all.Length);
        var own = all.Max(f => f.Uncertainty ?? 0);
        return Figure.Of(mean, "s", Math.Sqrt(spread * spread + own * own), Seen.All(t => t.CameToRest) ? null : "the current had not come to rest");
    }

    private Figure Recommended()
    {
        if (Mean(t => t.ToAll) is not { Value: { } seconds } all) return Mean(t => t.ToAll);
        var reach = seconds + all.ExpandedUncertainty!.Value;
        var round = RoundSeconds / (Setup.HeaterSpeed > 1 ? Setup.HeaterSpeed : 1);
        return Figure.Of(Math.Ceiling(Margin * reach / round) * round, "s", null, all.Mark);
    }

    private static StudySeries Drawn(WarmUpTimes times, int number)
    {
        var step = Math.Max(1, times.Seconds.Length / 400);
        int[] kept = [.. Enumerable.Range(0, times.Seconds.Length).Where(i => i % step == 0)];
        return new($"from-cold-{number + 1}", "time since the heater was switched on", "s", "current at 0 V drive", "A",
            [.. kept.Select(i => times.Seconds[i])], [.. kept.Select(i => times.Amps[i])], [.. kept.Select(_ => double.NaN)]);
    }
}
