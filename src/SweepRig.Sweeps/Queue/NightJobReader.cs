using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Sweeps.Queue;

/// <summary>Reads the jobs of a night.</summary>
internal static class NightJobReader
{
    private const int MostNamed = 200, MostTimes = 1_000, LongestMinutes = 24 * 60, MostCycles = 2_000, UsualTimesFromCold = 3, UsualWatchMinutes = 2, UsualStepVolts = 1;

    private static readonly string[] Common = ["name", "do", "plan", "sockets", "tubes", "lot", "priority", "window", "after", "ifPassed", "every", "limits"];

    /// <summary>Keys that go with some work alone.</summary>
    private static readonly Dictionary<string, string[]> Own = new(StringComparer.Ordinal)
    {
        ["soak"] = ["minutes", "everyMinutes"],
        ["repeat"] = ["everyMinutes", "times"],
        ["warm-up"] = ["times", "minutes"],
        ["explore"] = ["ceilingVolts", "stepVolts"],
        ["life"] = ["onMinutes", "offMinutes", "cycles", "sweepEvery"],
    };

    public static List<NightJob> Read(ObjectReader root, JsonElement element, List<Refusal> faults)
    {
        var jobs = new List<NightJob>();
        var known = Common.Concat(Own.Values.SelectMany(k => k)).Distinct().ToArray();
        var place = 0;
        var list = element.TryGetProperty("jobs", out var jobsElement) && jobsElement.ValueKind == JsonValueKind.Array ? jobsElement.EnumerateArray().ToArray() : [];
        foreach (var job in root.Objects("jobs", NightReader.MostJobs, known))
        {
            // Objects leaves out what is no object; the plan is read from the element, as it may be a document of its own.
            while (place < list.Length && list[place].ValueKind != JsonValueKind.Object) place++;
            var before = faults.Count;
            var read = Job(job, list[place], $"/jobs/{place}", faults);
            place++;
            if (read is not null && faults.Count == before) jobs.Add(read);
        }
        return jobs;
    }

    private static NightJob? Job(ObjectReader job, JsonElement element, string path, List<Refusal> faults)
    {
        var name = job.Line("name", NightReader.LongestName);
        var work = Work(job, element, path, faults);
        IReadOnlyList<int> sockets = job.Has("sockets") ? job.Wholes("sockets", 1, NightReader.MostSockets, 0, NightReader.MostSockets - 1) ?? [] : [];
        var tubes = job.Lines("tubes", MostNamed, NightReader.LongestText);
        var lot = job.Has("lot") ? job.Line("lot", NightReader.LongestText) : null;
        var priority = job.Has("priority") ? job.Whole("priority", 1, 9, "") : null;
        var window = NightReader.Window(job, needed: false);
        var after = job.Lines("after", MostNamed, NightReader.LongestName);
        var ifPassed = job.Flag("ifPassed");
        if (ifPassed && after.Count == 0)
            job.Fault("passed-what", "ifPassed", "it is to be done only if something passed", "\"after\" names no job", "Add \"after\": [\"NAME OF THE SCREENING\"].");
        var every = Every(job);
        var limits = Limits(job);
        if (name is not null && !name.All(c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '-'))
            job.Fault("bad-name", "name", $"the name is \"{name}\"", "small letters a to z, digits and - are allowed", "Write for example \"screen-all\".");
        return name is null || work is null ? null : new(name, work, new(sockets, [.. tubes.Select(t => t.Trim().ToUpperInvariant())], lot?.Trim()), priority, window, after, ifPassed, every, limits);
    }

    private static NightWork? Work(ObjectReader job, JsonElement element, string path, List<Refusal> faults)
    {
        var word = job.Word("do", [.. NightWork.Words]);
        var plan = Plan(job, element, path, faults);
        if (word is null) return null;
        foreach (var key in Own.Values.SelectMany(k => k).Distinct().Except(Own.GetValueOrDefault(word) ?? []).Where(job.Has))
            job.Fault("not-for-this-job", key, $"{key} stands with \"do\": \"{word}\"", Own.TryGetValue(word, out var own) ? $"a job that does {word} has {string.Join(", ", own)}" : $"a job that does {word} has none of its kind", "Delete it, or check \"do\".");
        return Parameters(job, word, plan);
    }

    /// <summary>Reads what goes with the work even where the plan is at fault.</summary>
    private static NightWork? Parameters(ObjectReader job, string word, SweepPlan? plan)
    {
        switch (word)
        {
            case "screen":
                return plan is null ? null : new NightWork.Screen(plan);
            case "sweep":
                return plan is null ? null : new NightWork.Sweep(plan);
            case "family":
                return Family(job, plan);
            case "soak":
                var (time, between) = (Minutes(job, "minutes", 1), Minutes(job, "everyMinutes", 1));
                return plan is null || time is null || between is null ? null : new NightWork.Soak(plan, time.Value, between.Value);
            case "repeat":
                var (interval, times) = (Minutes(job, "everyMinutes", 0.1), job.Whole("times", 2, MostTimes, "times"));
                return plan is null || interval is null || times is null ? null : new NightWork.Repeat(plan, interval.Value, times.Value);
            case "warm-up":
                var (cold, watch) = (job.Whole("times", 1, 20, "times", otherwise: UsualTimesFromCold), Minutes(job, "minutes", 0.5, UsualWatchMinutes));
                return plan is null || cold is null || watch is null ? null : new NightWork.WarmUp(plan, cold.Value, watch.Value);
            case "explore":
                var (ceiling, step) = (job.Number("ceilingVolts", 0.1, PlanLimits.MaxDriveVolts, "V"), job.Has("stepVolts") ? job.Number("stepVolts", ExplorationSetup.LeastStepVolts, ExplorationSetup.MostStepVolts, "V") : UsualStepVolts);
                return plan is null || ceiling is null || step is null ? null : new NightWork.Explore(plan, new(ceiling.Value), new(step.Value));
            default:
                var (on, off) = (Minutes(job, "onMinutes", 0.5), Minutes(job, "offMinutes", 0.5));
                var (cycles, sweepEvery) = (job.Whole("cycles", 1, MostCycles, "cycles"), job.Whole("sweepEvery", 1, MostCycles, "cycles", otherwise: 1));
                return plan is null || on is null || off is null || cycles is null || sweepEvery is null ? null : new NightWork.Life(plan, on.Value, off.Value, cycles.Value, sweepEvery.Value);
        }
    }

    private static NightWork.Family? Family(ObjectReader job, SweepPlan? plan)
    {
        if (plan is null) return null;
        if (plan.SecondSource is not null) return new(plan);
        job.Fault("no-family", "plan", $"the plan \"{plan.Name}\" is to give a family", "it steps no second source", "Use one with \"secondSource\", as plate-family, or write \"do\": \"sweep\".");
        return null;
    }

    private static SweepPlan? Plan(ObjectReader job, JsonElement element, string path, List<Refusal> faults)
    {
        if (!element.TryGetProperty("plan", out var plan))
        {
            job.Fault("missing-key", "plan", "the key \"plan\" is missing", "a sweep plan, or the name of an example, is needed", "Add \"plan\": \"gentle-pentode\".");
            return null;
        }
        if (plan.ValueKind == JsonValueKind.String)
        {
            if (WholeText.Of(plan) is { } name && PlanExamples.Find(name) is { } example) return example.Plan;
            job.Fault("plan-unknown", "plan", $"the plan is \"{WholeText.Of(plan)}\"", $"examples are {string.Join(", ", PlanExamples.All.Select(e => e.Name))}", "Name one of those, or give a plan document.");
            return null;
        }
        var read = PlanDocument.Parse(plan);
        faults.AddRange(read.Refusals.Select(r => r with { Path = $"{path}/plan{r.Path}" }));
        return read.Value;
    }

    private static Repetition? Every(ObjectReader job)
    {
        if (job.Object("every", false, "minutes", "times") is not { } every) return null;
        var minutes = Minutes(every, "minutes", 0.1);
        var times = every.Whole("times", 2, MostTimes, "times");
        return minutes is null || times is null ? null : new(minutes.Value, times.Value);
    }

    private static List<LevelLimit> Limits(ObjectReader job)
    {
        var limits = new List<LevelLimit>();
        foreach (var limit in job.Objects("limits", 20, "quantity", "lowest", "highest"))
        {
            var quantity = limit.Line("quantity", NightReader.LongestText);
            var lowest = limit.Has("lowest") ? limit.Number("lowest", -1e12, 1e12, "") : null;
            var highest = limit.Has("highest") ? limit.Number("highest", -1e12, 1e12, "") : null;
            if (lowest >= highest) limit.Fault("reversed-limits", "highest", $"highest {ObjectReader.Text(highest.Value)} is not above lowest {ObjectReader.Text(lowest.Value)}", "lowest is the smaller one", "Exchange them.");
            else if (!limit.Has("lowest") && !limit.Has("highest")) limit.Fault("no-limit", "", "neither lowest nor highest stands here", "one of them is needed", "Add one, in the unit of the quantity.");
            else if (quantity is not null) limits.Add(new(quantity.Trim(), lowest, highest));
        }
        return limits;
    }

    private static TimeSpan? Minutes(ObjectReader job, string key, double least, double? otherwise = null)
    {
        if (otherwise is { } usual && !job.Has(key)) return TimeSpan.FromMinutes(usual);
        return job.Number(key, least, LongestMinutes, "min") is { } minutes ? TimeSpan.FromMinutes(minutes) : null;
    }
}
