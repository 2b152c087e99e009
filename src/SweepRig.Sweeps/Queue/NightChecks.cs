using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Queue;

/// <summary>Holds an order against rig, types and clock. Pure.</summary>
public static class NightChecks
{
    /// <summary>What the work itself looks after: it takes fewer or other points than the plan that stands for it.</summary>
    private static readonly string[] NotOfExplorations = ["positive-time-over-budget", "points-finer-than-steps"];

    /// <summary>A night never has more, so that its state stays small.</summary>
    private const int MostSteps = 20_000;

    private static readonly TimeSpan LookAhead = TimeSpan.FromHours(48), Slack = TimeSpan.FromHours(3);

    /// <param name="order">As read.</param>
    /// <param name="tubes">Tubes of the order's sockets, in its order, with their types.</param>
    /// <returns>The night ready to begin, or every reason why not.</returns>
    public static Outcome<NightSetup> Check(NightOrder order, IReadOnlyList<Tube> tubes, NightFacts facts)
    {
        ArgumentNullException.ThrowIfNull(order);
        ArgumentNullException.ThrowIfNull(facts);
        var seats = order.Sockets.Zip(tubes, (s, t) => new NightSeat(s.Socket, t, facts.HeaterAmps(t.TypeName, order.Jobs[0].Work.Plan.Connection.Heater))).ToArray();
        List<Refusal> faults = [];
        for (var i = 0; i < seats.Length; i++)
        {
            if (seats[i].Socket >= facts.Rig.Sockets)
                faults.Add(new("socket-absent", $"/sockets/{i}/socket", $"{seats[i].Tube.Label} is in socket {seats[i].Socket}", $"this rig has sockets 0 to {facts.Rig.Sockets - 1}", "Count the sockets of the rig from 0."));
        }
        var open = Slots(order, facts);
        var jobs = order.Jobs.Select((job, place) => Set(job, place, order, seats, facts, open, faults)).ToArray();
        var steps = jobs.Sum(j => (long)j.Needs.Count * (j.Job.Every?.Times ?? 1));
        if (steps > MostSteps) faults.Add(new("too-many-steps", "/jobs", $"jobs, tubes and repetitions make {steps} steps", $"at most {MostSteps} are possible", "Repeat less often, or make two nights."));
        if (open.Count == 0) faults.Add(new("window-never", "/window", $"the night is from {order.Window} in {order.TimeZone}", "it does not come within two days, for clocks leave that hour out", "Choose another window."));
        if (faults.Count > 0) return Outcome<NightSetup>.Refuse(faults);
        var setup = new NightSetup(order, seats, jobs, open, facts.WarmAfter, facts.CoolAfter) { Rig = facts.Rig.SerialNumber };
        return TooLong(setup) is { } tooLong ? Outcome<NightSetup>.Refuse(tooLong) : Outcome<NightSetup>.Accept(setup);
    }

    private static SetJob Set(NightJob job, int place, NightOrder order, NightSeat[] seats, NightFacts facts, List<TimeSlot> open, List<Refusal> faults)
    {
        var path = string.Create(CultureInfo.InvariantCulture, $"/jobs/{place}");
        var chosen = seats.Where(s => (job.Target.Sockets.Count == 0 || job.Target.Sockets.Contains(s.Socket)) && (job.Target.Tubes.Count == 0 || job.Target.Tubes.Contains(s.Tube.Label))
            && (job.Target.Lot is null || s.Tube.Lot == job.Target.Lot)).ToArray();
        if (chosen.Length == 0)
        {
            faults.Add(new("no-tube-for-job", path, job.Target.Lot is { } lot ? $"job {job.Name} works on lot {lot}" : $"job {job.Name} names sockets, tubes or a lot that no tube has together",
                $"in sockets are {string.Join(", ", seats.Select(s => $"{s.Tube.Label}{(s.Tube.Lot is { } of ? $" of {of}" : "")}"))}", "Name others: nobody plugs at night."));
        }
        var plan = StepEstimate.Checked(job.Work);
        foreach (var ofType in chosen.GroupBy(s => s.Tube.TypeName, StringComparer.OrdinalIgnoreCase))
        {
            var planned = SweepPlanner.Plan(new(plan, ofType.First().Tube, 0), facts.For(ofType.Key, order.Permit));
            faults.AddRange(planned.Refusals.Where(r => job.Work is not NightWork.Explore || !NotOfExplorations.Contains(r.Code))
                .Select(r => r with { Path = $"{path}/plan{r.Path}", Asked = $"job {job.Name}, {string.Join(" and ", ofType.Select(s => s.Tube.Label))}: {r.Asked}" }));
        }
        foreach (var seat in chosen.Take(1)) faults.AddRange(NightStudies.Faults(job.Work, seat.Tube, facts.Held, facts.RatingsOf(seat.Tube.TypeName)).Select(r => r with { Path = path, Asked = $"job {job.Name}: {r.Asked}" }));
        Heaters(job, path, seats, chosen, facts, faults);
        var after = job.After.Select(name => order.Jobs.Select((j, p) => (j, p)).First(o => o.j.Name == name).p).ToArray();
        var needs = chosen.Length > 0 ? StepEstimate.Of(job.Work, chosen[0].Tube, facts) : null;
        return new(job, [.. chosen.Select(s => KeyValuePair.Create(s.Socket, needs!))], job.Window is { } window ? Within(Spans(window, order, facts), open) : open, after);
    }

    /// <summary>All heaters hang on one supply: what one tube needs must not burn out the one beside it.</summary>
    private static void Heaters(NightJob job, string path, NightSeat[] seats, NightSeat[] chosen, NightFacts facts, List<Refusal> faults)
    {
        var plan = job.Work.Plan;
        var highest = plan.SecondSource is { Source: SteppedSource.Heater } second ? Math.Max(second.From.Value, second.To.Value) : plan.Connection.Heater.Value;
        foreach (var seat in seats.Where(s => chosen.All(c => c.Tube.TypeName != s.Tube.TypeName)))
        {
            if (facts.RatingsOf(seat.Tube.TypeName) is not { Heaters.Count: > 0 } ratings || highest <= 1.1 * ratings.Heaters.Max(h => h.Value) + 1e-9) continue;
            faults.Add(new("heater-of-another", $"{path}/plan/connection/heaterVolts", $"job {job.Name} sets the heaters of all sockets to {plan.Connection.Heater}", $"{seat.Tube.Label} in socket {seat.Socket} is a {seat.Tube.TypeName}, whose heater is for {string.Join(" or ", ratings.Heaters)}",
                "Work on tubes with the same heater voltage in one night."));
        }
    }

    private static List<TimeSlot> Slots(NightOrder order, NightFacts facts)
    {
        var spans = order.Window.Open(TimeZoneInfo.FindSystemTimeZoneById(order.TimeZone), facts.BeginsUtc, LookAhead);
        // One night: where clocks go back its window may come in two parts.
        return [.. spans.Where(s => s.OpensUtc < spans[0].OpensUtc + order.Window.Length + Slack && s.OpensUtc < spans[0].OpensUtc + TimeSpan.FromHours(22)).Select(s => Slot(s, facts))];
    }

    private static IEnumerable<TimeSlot> Spans(DayWindow window, NightOrder order, NightFacts facts) =>
        window.Open(TimeZoneInfo.FindSystemTimeZoneById(order.TimeZone), facts.BeginsUtc, LookAhead).Select(s => Slot(s, facts));

    private static TimeSlot Slot(OpenSpan span, NightFacts facts) => new(span.OpensUtc - facts.BeginsUtc, span.ClosesUtc - facts.BeginsUtc);

    private static List<TimeSlot> Within(IEnumerable<TimeSlot> slots, List<TimeSlot> open) => [.. slots.SelectMany(s => open.Select(o => new TimeSlot(s.Opens > o.Opens ? s.Opens : o.Opens, s.Closes < o.Closes ? s.Closes : o.Closes)))
        .Where(s => s.Opens < s.Closes)];

    private static Refusal? TooLong(NightSetup setup)
    {
        if (setup.Order.MayBeCutShort) return null;
        var forecast = NightForecast.Of(setup);
        if (forecast.NotReached.Count == 0) return null;
        var missing = forecast.NotReached;
        var first = string.Join("; ", missing.Take(3).Select(s => $"{setup.Jobs[s.Job].Job.Name} on {setup.SeatAt(s.Socket).Tube.Label}: {s.Verdict}"));
        var much = missing.Where(s => s.Short == Shortage.Time).Aggregate(TimeSpan.Zero, (sum, s) => sum + setup.Jobs[s.Job].NeedsAt(s.Socket).Takes);
        return new("night-too-short", "/jobs", $"{forecast.Steps.Count + missing.Count} steps are asked for",
            $"{missing.Count} of them would not be reached{(much > TimeSpan.Zero ? $", which take {Night.Text(much)} more than the night has" : "")}: {first}{(missing.Count > 3 ? "; and others" : "")}",
            "Ask for less, widen the window or the limits, or write \"mayBeCutShort\": true.");
    }
}
