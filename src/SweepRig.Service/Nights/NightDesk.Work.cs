using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Nights;

/// <content>What the bench does, and what comes of it.</content>
public sealed partial class NightDesk
{
    /// <summary>The rig tells of its heater a little later than it switches it.</summary>
    private static readonly TimeSpan HeaterAskEvery = TimeSpan.FromSeconds(2);

    private long _heaterAsked;
    private bool _inScreening;

    /// <summary>All that follows from the state of bench and night without anybody saying anything.</summary>
    private async Task GoOnAsync()
    {
        if (!await TakenUpAsync()) return;
        if (_picture?.Night is null || (_picture.IsOver && _unsaved.Count == 0))
        {
            _task.TickNoMore();
            return;
        }
        var bench = _runner.State;
        await AttendAsync(bench);
        FollowHeaters(bench);
        Apply(new NightEvent.Tick());
        await SaveAsync(_picture.Night!);
        if (_picture.IsOver) return;
        if (_step is null) await HoldOrFreeAsync(bench);
        await ActAsync(_picture.Night!.Next(Now), bench);
    }

    /// <summary>The tighter limits hold from when the night opens until it is over.</summary>
    private async Task AttendAsync(BenchState bench)
    {
        var unattended = Now >= _picture!.Night!.Setup.Open[0].Opens;
        if (bench.Unattended != unattended) await _runner.SetAttendanceAsync(!unattended, _task.Stopped);
    }

    private TimeSpan Now => At(_picture!);

    private async Task ActAsync(NightAct act, BenchState bench)
    {
        switch (act)
        {
            case NightAct.Over:
                await CloseAsync(bench);
                break;
            case NightAct.Begin begin:
                await BeginStepAsync(begin.Step);
                break;
            case NightAct.Follow follow:
                var step = _picture!.Night!.Steps[follow.Step];
                Say($"{_picture.Night.JobOf(step).Name} on {_picture.Night.Setup.SeatAt(step.Socket).Tube.Label}", null);
                break;
            case NightAct.Wait wait:
                Say(wait.Why, wait.Until);
                if (wait.HeatersOff) await HeatersOffAsync(bench);
                break;
        }
    }

    private async Task BeginStepAsync(int index)
    {
        var before = _picture!.Night!;
        var began = before.With(new NightEvent.StepBegan(index), Now);
        var step = began.Steps[index];
        try
        {
            // What is not on record has not been begun.
            await _nights.SaveAsync(_picture.Id, [NightRecords.Of(began, step)], NightRecords.Progress(began, Now, _picture.TakenUp), _task.Stopped);
        }
        catch (Exception fault) when (!_task.Stopped.IsCancellationRequested)
        {
            StoreFailed(fault);
            return;
        }
        Publish(_picture with { Night = began, Doing = $"{began.JobOf(step).Name} on {began.Setup.SeatAt(step.Socket).Tube.Label}", WakesAt = null });
        var night = _picture.Id;
        var work = began.JobOf(step);
        _inScreening = work.Work is NightWork.Screen;
        _step = CancellationTokenSource.CreateLinkedTokenSource(_task.Stopped);
        var seat = began.Setup.SeatAt(step.Socket);
        var ratings = _types.Find(seat.Tube.TypeName) is { } type ? CatalogueRatings.For(type) : null;
        var task = new StepTask(_picture.Order.Name, work, seat, began.NeedsOf(step), _picture.Order.Permit, LongestPermit, ratings, _choice.EffectiveHeaterSpeed, before.Steps[index].Runs, run => _task.Post(() => RunBeganAsync(night, index, run)));
        _ = FollowAsync(night, index, task, _step.Token);
    }

    private async Task FollowAsync(string night, int index, StepTask task, CancellationToken cancellationToken)
    {
        SteppedOutcome outcome;
        try
        {
            outcome = await _stepper.DoAsync(task, cancellationToken);
        }
        catch (Exception) when (_task.Stopped.IsCancellationRequested)
        {
            return;
        }
        catch (OperationCanceledException)
        {
            outcome = new(new StepOutcome.Again("broken off"), 0);
        }
        catch (Exception fault)
        {
            _logger.LogError(LogEvents.NightStepFailed, fault, "Step {Step} of the night failed", index);
            outcome = new(new StepOutcome.Again(fault.Message.ReplaceLineEndings(" ")), 0);
        }
        _task.Post(() => StepEndedAsync(night, index, outcome));
    }

    private Task RunBeganAsync(string night, int index, string run)
    {
        if (Current() is { Night: { } state } picture && picture.Id == night && state.Steps[index].State == StepState.Running) Apply(new NightEvent.RunBegan(index, run));
        return Task.CompletedTask;
    }

    private async Task StepEndedAsync(string night, int index, SteppedOutcome outcome)
    {
        _step?.Dispose();
        _step = null;
        if (Current() is { Night: { } state } picture && picture.Id == night && state.Steps[index].State == StepState.Running)
        {
            var ended = state.With(new NightEvent.StepEnded(index, outcome.Outcome, outcome.Coulombs), Now);
            // Told only when it is on record: a process that dies in between would do again what somebody has seen done.
            Note(state, ended);
            await SaveAsync(ended);
            Tell(state, ended);
            if (outcome.Stops is { } why) Apply(new NightEvent.Held(why, NeedsPerson: true));
        }
        await GoOnAsync();
    }

    /// <summary>Whether anything may be begun; and the night's own release of a trip whose cause is gone.</summary>
    private async Task HoldOrFreeAsync(BenchState bench)
    {
        var night = _picture!.Night!;
        if (night.NeedsPerson) return;
        if (bench is { Link: RigLinkState.Connected, Trip: { } trip } && Another(bench) is null && night.OverBecause is null && _storeFault is null)
        {
            if (NightTrips.Of(trip.Cause, _inScreening) == TripBlame.Bench)
            {
                Apply(new NightEvent.Held($"the bench has tripped: {TripGuide.For(trip.Cause).Title}", NeedsPerson: true));
                return;
            }
            if (night.Acknowledgements >= _picture.Order.Limits.Acknowledgements)
            {
                Apply(new NightEvent.Held($"the bench has tripped: {TripGuide.For(trip.Cause).Title}; the night has released {night.Acknowledgements} trips, which is its limit", NeedsPerson: true));
                return;
            }
            if (bench.TripCauseGone && (await _runner.AcknowledgeAsync(_task.Stopped)).IsAccepted) Apply(new NightEvent.Acknowledged());
            bench = _runner.State;
        }
        var why = Against(bench);
        if (why == _picture.Night!.HeldBecause) return;
        Apply(why is null ? new NightEvent.Freed() : new NightEvent.Held(why, NeedsPerson: false));
    }

    /// <summary>Why nothing may be begun just now; all of it passes by itself.</summary>
    private string? Against(BenchState bench)
    {
        if (bench.Link != RigLinkState.Connected) return $"{bench.RigName} is not connected{(bench.LinkFault is { } fault ? $": {fault.TrimEnd('.')}" : "")}";
        if (Another(bench) is { } another) return another;
        if (bench.Trip is { } trip) return $"the bench has tripped: {TripGuide.For(trip.Cause).Title}{(trip.Measured.Length > 0 ? $" ({trip.Measured.TrimEnd('.')})" : "")}; waits until the cause is gone";
        if (_storeFault is not null) return $"the store does not take it: {_storeFault}";
        if (bench.Run is not null) return "another run is under way on this rig";
        if (bench.Hold is not null) return "a point is held for a meter";
        return _round?.Picture is { IsOver: false } ? "a screening round is under way on this rig" : null;
    }

    private string? Another(BenchState bench) => bench.Identity?.SerialNumber is { } serial && serial != _picture!.Night!.Setup.Rig
        ? $"another rig answers: {serial}, where the night was begun on {_picture.Night.Setup.Rig}"
        : null;

    private void FollowHeaters(BenchState bench)
    {
        if (bench.Link != RigLinkState.Connected) return;
        var night = _picture!.Night!;
        if (!bench.Heater.On)
        {
            if (night.HeatersSince is not null) Apply(new NightEvent.HeatersOff());
            return;
        }
        if (night.HeatersSince is { } since && bench.Heater.OnFor + HeaterAskEvery >= Now - since) return;
        // Off and on again between two looks.
        if (night.HeatersSince is not null) Apply(new NightEvent.HeatersOff());
        Apply(new NightEvent.HeatersOn());
    }

    private async Task HeatersOffAsync(BenchState bench)
    {
        if (bench is not { Link: RigLinkState.Connected, Heater.On: true, Run: null } || (_heaterAsked != 0 && _time.GetElapsedTime(_heaterAsked) < HeaterAskEvery)) return;
        _heaterAsked = _time.GetTimestamp();
        await _runner.SetHeaterAsync(false, _picture!.Order.Jobs[0].Work.Plan.Connection.Heater, _task.Stopped);
    }

    /// <summary>The end is on record before it is told.</summary>
    private async Task CloseAsync(BenchState bench)
    {
        var (picture, night) = (_picture!, _picture!.Night!);
        await HeatersOffAsync(bench);
        if (_step is not null || _storeFault is not null) return;
        try
        {
            await _nights.EndAsync(picture.Id, Unsaved(night), NightRecords.Progress(night, Now, picture.TakenUp), night.OverBecause!, _task.Stopped);
        }
        catch (Exception fault) when (!_task.Stopped.IsCancellationRequested)
        {
            StoreFailed(fault);
            return;
        }
        if (_runner.State.Unattended) await _runner.SetAttendanceAsync(true, _task.Stopped);
        _unsaved.Clear();
        (_baseAt, _baseStamp) = (Now, _time.GetTimestamp());
        Publish(picture with { OverBecause = night.OverBecause, Doing = night.OverBecause!, WakesAt = null });
    }

    private async Task SaveAsync(Night night)
    {
        if (_unsaved.Count == 0 && _storeFault is null && !_progressed) return;
        if (_storeFault is not null && _time.GetElapsedTime(_storeTriedAt) < RetryAfter) return;
        try
        {
            await _nights.SaveAsync(_picture!.Id, Unsaved(night), NightRecords.Progress(night, Now, _picture.TakenUp), _task.Stopped);
            _unsaved.Clear();
            (_storeFault, _progressed) = (null, false);
        }
        catch (Exception fault) when (!_task.Stopped.IsCancellationRequested)
        {
            StoreFailed(fault);
        }
    }

    private Storage.StoredNightStep[] Unsaved(Night night) => [.. _unsaved.Select(i => NightRecords.Of(night, night.Steps[i]))];

    private void Apply(NightEvent happened)
    {
        var before = _picture!.Night!;
        var after = before.With(happened, Now);
        if (ReferenceEquals(before, after)) return;
        Note(before, after);
        Tell(before, after);
    }

    private void Note(Night before, Night after)
    {
        MarkUnsaved(before, after);
        _progressed |= before.NeedsPerson != after.NeedsPerson || before.Acknowledgements != after.Acknowledgements;
    }

    private void Tell(Night before, Night after)
    {
        foreach (var told in NightTelling.Between(before, after, _choice.Name, _time.GetUtcNow())) _watch?.Post(told);
        Publish(_picture! with { Night = after });
    }

    private void MarkUnsaved(Night? before, Night after)
    {
        for (var i = 0; i < after.Steps.Length; i++)
            if (!ReferenceEquals(before?.Steps[i], after.Steps[i]) && after.Steps[i] is not { State: StepState.Waiting, Attempts: 0 }) _unsaved.Add(i);
    }

    private void Say(string doing, TimeSpan? wakes)
    {
        if (_picture!.Doing != doing || _picture.WakesAt != wakes) Publish(_picture with { Doing = doing, WakesAt = wakes });
    }
}
