namespace SweepRig.Sweeps.Queue;

/// <summary>A step as it is expected. Times are since the night began.</summary>
/// <param name="Begins">When its tube is first heated or cooled for it.</param>
/// <param name="Measures">When it measures first.</param>
public sealed record PlannedStep(int Step, TimeSpan Begins, TimeSpan Measures, TimeSpan Ends);

/// <summary>A night as it will go if nothing comes in between: the whole state machine, run on a clock that jumps from event to event.</summary>
/// <param name="Steps">In the order in which they are begun.</param>
/// <param name="NotReached">With the reason as their verdict.</param>
/// <param name="EndsAt">End of the last step.</param>
/// <param name="HeaterTime">That the heaters are on.</param>
/// <param name="Coulombs">Most charge into grids.</param>
/// <param name="HeaterAmps">Of all sockets together, warm; cold heaters draw several times that for a moment. Null where a type is not known.</param>
/// <param name="RailAmps">Most at one time.</param>
/// <param name="RailWatts">Most at one time.</param>
public sealed record NightForecast(
    IReadOnlyList<PlannedStep> Steps, IReadOnlyList<NightStep> NotReached, TimeSpan EndsAt, TimeSpan HeaterTime, double Coulombs, double? HeaterAmps, double? HeaterWatts, double RailAmps, double RailWatts)
{
    public static NightForecast Of(NightSetup setup) => Of(Night.Begin(setup), TimeSpan.Zero);

    /// <summary>From where a night stands; a step under way is taken to begin now.</summary>
    public static NightForecast Of(Night night, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(night);
        List<PlannedStep> steps = [];
        var coulombs = night.Coulombs;
        var coolsFrom = default(TimeSpan?);
        night = night.With(new NightEvent.Freed(), at);
        while (night.Next(at) is var act and not NightAct.Over)
        {
            switch (act)
            {
                case NightAct.Wait { Until: { } until } wait:
                    if (wait.HeatersOff) night = night.With(new NightEvent.HeatersOff(), at);
                    if (night.HeatersSince is null && IsCooling(night, at, until)) coolsFrom ??= at;
                    at = until;
                    night = night.With(new NightEvent.Tick(), at);
                    break;
                case NightAct.Wait:
                    // Nothing will ever be due: what is left cannot be.
                    night = night.With(new NightEvent.Ended("nothing is due"), at);
                    break;
                case NightAct.Begin begin:
                    night = night.With(new NightEvent.StepBegan(begin.Step), at);
                    (night, at) = Follow(night, begin.Step, at, coolsFrom ?? at);
                    coolsFrom = null;
                    break;
                case NightAct.Follow follow:
                    (night, at) = Follow(night, follow.Step, at, at);
                    break;
            }
        }
        var amps = setupAmps(night.Setup);
        var done = steps.Select(s => night.NeedsOf(night.Steps[s.Step])).ToArray();
        return new(steps, [.. night.Steps.Where(s => s.State == StepState.NotReached)], at, night.HeaterTime(at), coulombs, amps,
            amps * night.Setup.Jobs[0].Job.Work.Plan.Connection.Heater.Value, done.Select(n => n.RailAmps).DefaultIfEmpty(0).Max(), done.Select(n => n.RailWatts).DefaultIfEmpty(0).Max());

        (Night, TimeSpan) Follow(Night now, int index, TimeSpan from, TimeSpan begins)
        {
            var step = now.Steps[index];
            var needs = now.NeedsOf(step);
            var measures = from + now.Lead(step, from);
            now = now.With(new NightEvent.HeatersOn(), from);
            var ends = measures + needs.Takes;
            if (needs.Hot < needs.Takes) now = now.With(new NightEvent.HeatersOff(), measures + needs.Hot);
            // The bound of its charge counts against the limit, as it does when the step is begun in earnest.
            now = now.With(new NightEvent.StepEnded(index, new StepOutcome.Passed("expected"), needs.Coulombs), ends);
            coulombs += needs.Coulombs;
            steps.Add(new(index, begins, measures, ends));
            return (now, ends);
        }

        static double? setupAmps(NightSetup setup) => setup.Seats.All(s => s.HeaterAmps is not null) ? setup.Seats.Sum(s => s.HeaterAmps!.Value) : null;
    }

    private static bool IsCooling(Night night, TimeSpan at, TimeSpan until) => night.ColdSince is { } cold && until == cold + night.Setup.CoolAfter && until > at;
}
