using System.Globalization;
using SweepRig.Domain;

namespace SweepRig.Sweeps.Queue;

/// <summary>What cannot be, though each part of the document by itself could.</summary>
internal static class NightContradictions
{
    public static void Find(IReadOnlyList<NightJob> jobs, IReadOnlyList<SeatOrder> seats, DayWindow? window, NightPermit? permit, List<Refusal> faults)
    {
        Names(jobs, faults);
        for (var i = 0; i < jobs.Count; i++)
        {
            var path = $"/jobs/{i.ToString(CultureInfo.InvariantCulture)}";
            Targets(jobs[i], seats, path, faults);
            Order(jobs[i], jobs, path, faults);
            if (window is not null && jobs[i].Window is { } own) Windows(jobs[i], own, window, path, faults);
            Positive(jobs[i], permit, path, faults);
        }
        Cycles(jobs, faults);
    }

    private static void Names(IReadOnlyList<NightJob> jobs, List<Refusal> faults)
    {
        foreach (var twice in jobs.Select((job, place) => (job, place)).GroupBy(j => j.job.Name, StringComparer.Ordinal).Where(g => g.Count() > 1))
        {
            var ranks = twice.Select(j => j.job.Rank).Distinct().ToArray();
            faults.Add(new("job-twice", $"/jobs/{twice.Last().place}/name", $"{twice.Count()} jobs are called \"{twice.Key}\"{(ranks.Length > 1 ? $", with priorities {string.Join(" and ", ranks)}" : "")}", "each name stands once",
                "Give the others names of their own, or take them out."));
        }
    }

    private static void Targets(NightJob job, IReadOnlyList<SeatOrder> seats, string path, List<Refusal> faults)
    {
        var list = string.Join(", ", seats.Select(s => $"{s.Socket} ({s.Label})"));
        foreach (var socket in job.Target.Sockets.Where(s => seats.All(t => t.Socket != s)))
            faults.Add(new("socket-without-tube", $"{path}/sockets", $"job {job.Name} works on socket {socket}", $"sockets with a tube are {list}", "Name one of those, or state what is in it: nobody plugs at night."));
        foreach (var label in job.Target.Tubes.Where(t => seats.All(s => s.Label != t)))
            faults.Add(new("tube-not-in-a-socket", $"{path}/tubes", $"job {job.Name} works on {label}", $"tubes in sockets are {list}", "Name one of those, or state in which socket it is: nobody plugs at night."));
    }

    private static void Order(NightJob job, IReadOnlyList<NightJob> jobs, string path, List<Refusal> faults)
    {
        foreach (var name in job.After)
        {
            if (jobs.FirstOrDefault(j => j.Name == name) is not { } before)
            {
                // A job that has faults of its own is not among those read; its name may well be right.
                if (faults.All(f => f.Code == "job-unknown")) faults.Add(new("job-unknown", $"{path}/after", $"job {job.Name} comes after \"{name}\"", "no job has that name", $"Jobs are {string.Join(", ", jobs.Select(j => j.Name))}."));
            }
            else if (job.Priority is { } own && before.Priority is { } others && own > others)
            {
                faults.Add(new("priority-against-order", $"{path}/priority", $"job {job.Name} has priority {own} and comes after {before.Name}", $"{before.Name} has the lower priority {others}", $"Give {before.Name} {own} or more, or leave one of them out."));
            }
        }
    }

    private static void Windows(NightJob job, DayWindow own, DayWindow night, string path, List<Refusal> faults)
    {
        var (opens, closes) = (own.From == night.From ? TimeSpan.Zero : night.Past(own.From), night.Past(own.To));
        if (opens >= night.Length)
            faults.Add(new("window-outside-night", $"{path}/window", $"job {job.Name} may be done from {own}", $"the night is from {night}", "Let them overlap."));
        else if (closes <= opens)
            faults.Add(new("window-reversed", $"{path}/window", $"the window of job {job.Name} is from {own}", $"in a night from {night} it would end before it begins", "Exchange its ends, or correct the night's window."));
    }

    private static void Positive(NightJob job, NightPermit? permit, string path, List<Refusal> faults)
    {
        var (highest, key) = job.Work is NightWork.Explore explore ? (explore.Ceiling.Value, "ceilingVolts") : job.Work is NightWork.Screen or NightWork.WarmUp or NightWork.Soak or NightWork.Life ? (0, "") : (job.Work.Plan.Stop.Value, "plan");
        if (highest <= 0) return;
        var asked = string.Create(CultureInfo.InvariantCulture, $"job {job.Name} drives the grid up to {highest:0.###} V");
        if (permit is null)
            faults.Add(new("positive-drive-without-permit", $"{path}/{key}", asked, "the night states no permit, so the highest drive is 0 V", string.Create(CultureInfo.InvariantCulture, $"Add \"permit\": {{ \"ceilingVolts\": {highest:0.###}, \"reason\": \"…\" }}, or stay at 0 V.")));
        else if (highest > permit.Ceiling.Value)
            faults.Add(new("drive-above-permit", $"{path}/{key}", asked, $"the night's permit ends at {permit.Ceiling}", "Raise the permit's ceiling if you mean it, or stop lower."));
    }

    private static void Cycles(IReadOnlyList<NightJob> jobs, List<Refusal> faults)
    {
        var left = jobs.Select((job, place) => (job, place)).ToList();
        while (left.Count > 0)
        {
            var free = left.Where(j => j.job.After.All(name => left.All(other => other.job.Name != name))).ToArray();
            if (free.Length == 0) break;
            left.RemoveAll(free.Contains);
        }
        if (left.Count == 0) return;
        // Whoever only hangs on a circle is not to blame: leave what nothing in the rest comes after.
        while (left.FirstOrDefault(j => left.All(other => !other.job.After.Contains(j.job.Name))) is { job: not null } hanging) left.Remove(hanging);
        faults.Add(new("jobs-in-a-circle", $"/jobs/{left[0].place}/after", $"{string.Join(", ", left.Select(j => j.job.Name))} each come after another of them", "one of them must be free to begin", "Take one \"after\" out."));
    }
}
