using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Nights;

/// <content>What people say.</content>
public sealed partial class NightDesk
{
    /// <summary>Holds a night against stock, rig and clock and tells how it would go. Nothing is begun.</summary>
    /// <param name="beginsUtc">Begin of the night's own time.</param>
    public async Task<Outcome<NightSetup>> CheckAsync(NightOrder order, DateTimeOffset beginsUtc, CancellationToken cancellationToken)
    {
        var tubes = await NightTubes.FindAsync(_stock, _types, order, cancellationToken);
        List<Refusal> faults = [.. tubes.Refusals, .. NightLimitCheck.Faults(order)];
        if (faults.Count > 0) return Outcome<NightSetup>.Refuse(faults);
        var facts = Facts(beginsUtc);
        return facts.IsAccepted ? NightChecks.Check(order, tubes.Value!, facts.Value) : Outcome<NightSetup>.Refuse(facts.Refusals);
    }

    /// <param name="document">As it was given, for the record.</param>
    public Task<Outcome<NightPicture>> BeginAsync(NightOrder order, JsonElement document, CancellationToken cancellationToken) => _task.AskAsync(() => BeginNightAsync(order, document.GetRawText()), cancellationToken);

    /// <summary>Nothing more is begun until <see cref="GoOnAsync(CancellationToken)"/>; the step under way is done to its end.</summary>
    public Task<Outcome<NightPicture>> HoldAsync(string why, CancellationToken cancellationToken) => _task.AskAsync(
        async () =>
        {
            if (Current() is not { } picture) return NoNight("a night was to be held");
            if (picture.Night is null) _mayTakeUp = false;
            else Apply(new NightEvent.Held($"a person holds it: {why}", NeedsPerson: true));
            await GoOnAsync();
            return Outcome<NightPicture>.Accept(_picture!);
        },
        cancellationToken);

    /// <summary>A person has seen why it was held. A trip is released by acknowledging it, not by this.</summary>
    public Task<Outcome<NightPicture>> GoOnAsync(CancellationToken cancellationToken) => _task.AskAsync(
        async () =>
        {
            if (Current() is not { } picture) return NoNight("a night was to go on");
            if (picture.Night is { HeldBecause: null }) return No(new("night-not-held", "", "the night was to go on", "nothing holds it", "Nothing needs to be done."));
            // A trip that the night releases by itself needs no more of a person than this word.
            if (_runner.State.Trip is { } trip && picture.Night is { NeedsPerson: true } night
                && (NightTrips.Of(trip.Cause, _inScreening) == TripBlame.Bench || night.Acknowledgements >= picture.Order.Limits.Acknowledgements))
            {
                return No(new("bench-tripped", "", "the night was to go on", $"the bench has tripped: {Domain.Interlocks.TripGuide.For(trip.Cause).Title}",
                    $"{Domain.Interlocks.TripGuide.For(trip.Cause).Remedy} Then: sweeprig acknowledge, and go on."));
            }
            _mayTakeUp = true;
            if (picture.Night is not null) Apply(new NightEvent.Freed());
            await GoOnAsync();
            return Outcome<NightPicture>.Accept(_picture!);
        },
        cancellationToken);

    /// <summary>Nothing more of a job is begun.</summary>
    public Task<Outcome<NightPicture>> SkipAsync(string job, CancellationToken cancellationToken) => _task.AskAsync(
        async () =>
        {
            if (Current() is not { Night: { } night }) return NoNight("a job was to be skipped");
            var place = night.Setup.Jobs.TakeWhile(j => j.Job.Name != job).Count();
            if (place == night.Setup.Jobs.Count) return No(new("job-unknown", "/job", $"job {job} was to be skipped", $"jobs of this night are {string.Join(", ", night.Setup.Jobs.Select(j => j.Job.Name).Take(20))}", "Name one of those."));
            if (night.Steps.All(s => s.Job != place || s.State != StepState.Waiting)) return No(new("job-done", "/job", $"job {job} was to be skipped", "none of its steps is left to begin", "Nothing needs to be done."));
            Apply(new NightEvent.JobSkipped(place, "a person had it skipped"));
            await GoOnAsync();
            return Outcome<NightPicture>.Accept(_picture!);
        },
        cancellationToken);

    /// <summary>Ends the night: the step under way is broken off, the heaters go off.</summary>
    public Task<Outcome<NightPicture>> EndAsync(CancellationToken cancellationToken) => _task.AskAsync(
        async () =>
        {
            if (Current() is not { } picture) return NoNight("a night was to be ended");
            const string why = "a person ended it";
            if (picture.Night is null)
            {
                await _nights.EndAsync(picture.Id, [], _toTakeUp!.Progress, why, _task.Stopped);
                _toTakeUp = null;
                Publish(picture with { OverBecause = why, Doing = "over", WakesAt = null });
                return Outcome<NightPicture>.Accept(_picture!);
            }
            if (_step is { } step) await step.CancelAsync();
            Apply(new NightEvent.Ended(why));
            await GoOnAsync();
            return Outcome<NightPicture>.Accept(_picture!);
        },
        cancellationToken);

    private async Task<Outcome<NightPicture>> BeginNightAsync(NightOrder order, string document)
    {
        if (Current() is { } busy) return No(new("night-under-way", "", $"night \"{order.Name}\" was to be begun", $"night \"{busy.Order.Name}\" is under way on this rig", "End it first: sweeprig night end."));
        if (_picture is { IsOver: true } && _unsaved.Count > 0) return No(new("night-not-kept", "", $"night \"{order.Name}\" was to be begun", $"the end of the last night is not in the store yet: {_storeFault}", "Mend the store; it is tried again by itself."));
        if (_round?.Picture is { IsOver: false }) return No(new("round-under-way", "", $"night \"{order.Name}\" was to be begun", "a screening round is under way on this rig", "End it first: say end in the round."));
        var now = _time.GetUtcNow();
        var setup = await CheckAsync(order, now, _task.Stopped);
        if (!setup.IsAccepted) return Outcome<NightPicture>.Refuse(setup.Refusals);
        // One that nobody took up is over with this.
        if (_toTakeUp is null && await _nights.UnderWayAsync(_choice.Name, _task.Stopped) is { } old) await _nights.EndAsync(old.Id, [], old.Progress, $"night \"{order.Name}\" was begun instead", _task.Stopped);
        _lookedForOld = true;
        var night = Night.Begin(setup.Value);
        var forecast = ForecastDocument.Of(NightForecast.Of(setup.Value));
        var id = Guid.CreateVersion7(now).ToString("N");
        await _nights.BeginAsync(
            new(id, _choice.Name, order.Name, now, null, null, document, NightRecords.Write(setup.Value.Seats.Select(s => s.Tube)), NightRecords.Write(forecast), NightRecords.Progress(night, TimeSpan.Zero, 0)), _task.Stopped);
        (_baseStamp, _baseAt) = (_time.GetTimestamp(), TimeSpan.Zero);
        _unsaved.Clear();
        (_storeFault, _toTakeUp) = (null, null);
        Publish(new(id, 0, order, night, forecast, now, "begins", null));
        MarkUnsaved(null, night);
        _watch?.Post(NightTelling.Begun(order, _choice.Name, now));
        _task.Tick(TickEvery, TickEvery);
        await GoOnAsync();
        return Outcome<NightPicture>.Accept(_picture!);
    }

    /// <summary>What a night is held against on the rig that is connected.</summary>
    private Outcome<NightFacts> Facts(DateTimeOffset begins)
    {
        var state = _runner.State;
        return state is { Link: RigLinkState.Connected, Identity: { } rig, Calibration: { } calibration }
            ? Outcome<NightFacts>.Accept(new(rig, calibration, _rules.Tighten(rig.HardLimits, unattended: true), _warmAfter, _choice.EffectiveHeaterSpeed, _types, begins) { LongestPermit = LongestPermit })
            : Outcome<NightFacts>.Refuse(new Refusal("rig-not-connected", "", "a night was to be begun", $"{state.RigName} is not connected{(state.LinkFault is { } fault ? $": {fault.TrimEnd('.')}" : "")}", "Check its cable and power; it is looked for all the time."));
    }

    private TimeSpan LongestPermit => TimeSpan.FromSeconds(_rules.Of(DriveRules.PermitLength, unattended: true));

    private static Outcome<NightPicture> NoNight(string asked) => No(new("no-night", "", asked, "none is under way on this rig", "Begin one: sweeprig night start FILE."));
}
