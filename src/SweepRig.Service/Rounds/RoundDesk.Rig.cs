using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Rounds;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Rounds;

/// <content>What the rig does, and what comes of it.</content>
public sealed partial class RoundDesk
{
    /// <summary>Causes that a tube has given. Any other may be the bench's own: it says nothing of the tube, which is swept again until the operator puts it aside.</summary>
    private static readonly TripCause[] ByTheTube =
    [
        TripCause.GridCurrent, TripCause.CathodeCurrent, TripCause.HostGridCurrent, TripCause.HostCathodeCurrent,
        TripCause.ReverseGridCurrent, TripCause.GridDissipation, TripCause.PlateDissipation, TripCause.ScreenDissipation, TripCause.CurrentRunaway,
    ];

    /// <summary>A heater that has been on for shorter than the round believes, by more than this, was off in between.</summary>
    private static readonly TimeSpan HeaterSlack = TimeSpan.FromSeconds(2);

    /// <summary>How often the stock is asked about the tube that is asked for.</summary>
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    /// <summary>All that follows from the state of bench and round without anybody saying anything.</summary>
    private async Task GoOnAsync()
    {
        if (Current() is null) return;
        var bench = _runner.State;
        FollowHeaters(bench);
        var why = Against(bench);
        if (why != _picture!.Round.HeldBecause) Apply(why is null ? new RoundEvent.Freed() : new RoundEvent.Held(why, bench is { Link: RigLinkState.Connected, Trip: not null }));
        if (_fault is null) await KeepJudgementsAsync();
        if (_fault is null) await LookElsewhereAsync();
        if (_picture!.Round.IsFinished)
        {
            await CloseAsync(_picture);
            return;
        }
        if (why is not null) return;
        if (_picture.Round.Seats.Values.Any(s => s.Phase == SeatPhase.Heating)) await HeatAsync(bench);
        if (_picture.Round.Due(Since(_picture)) is { } seat) await SweepAsync(seat);
    }

    /// <summary>Another bench at the same stock may have screened the tube that is asked for, or put it to use.</summary>
    private async Task LookElsewhereAsync()
    {
        if (!_onlyNew || _picture!.Round.Next is not { } next) return;
        if (_looked.Label == next.Tube.Label && _time.GetElapsedTime(_looked.At) < LookEvery) return;
        _looked = (next.Tube.Label, _time.GetTimestamp());
        if (await _stock.FindAsync(next.Tube.Label, _task.Stopped) is not { State: not TubeState.New } tube) return;
        // One that this round itself has swept before is to be swept again.
        if (_picture.Round.Results.All(r => r.Tube.Label != tube.Label)) Apply(new RoundEvent.PutAside(tube.Label, $"{StockTube.Words(tube.State)} meanwhile at another bench"));
    }

    private string? Against(BenchState bench)
    {
        if (bench.Link != RigLinkState.Connected) return $"{bench.RigName} is not connected{(bench.LinkFault is { } fault ? $": {fault.TrimEnd('.')}" : "")}";
        if (bench.Trip is { } trip) return $"the bench has tripped: {TripGuide.For(trip.Cause).Title}";
        if (_fault is null) return null;
        if (_time.GetElapsedTime(_retryAt) < RetryAfter) return _fault;
        _fault = null;
        return null;
    }

    private void FollowHeaters(BenchState bench)
    {
        var round = _picture!.Round;
        if (round.HeatersSince is not { } since) return;
        // The rig tells of its heater a little later than it switches it.
        if ((bench.Heater.On ? bench.Heater.OnFor : TimeSpan.Zero) + HeaterSlack >= Since(_picture) - since) return;
        Apply(new RoundEvent.HeatersOff());
        if (bench.Heater.On) Apply(new RoundEvent.HeatersOn());
    }

    private async Task HeatAsync(BenchState bench)
    {
        if (_picture!.Round.HeatersSince is not null || bench.Run is not null) return;
        var on = await _runner.SetHeaterAsync(true, _picture.Plan.Connection.Heater, _task.Stopped);
        if (on.IsAccepted) Apply(new RoundEvent.HeatersOn());
        else Fail(on.Refusals[0].ToString());
    }

    private async Task SweepAsync(Seat seat)
    {
        if (_runner.State.Run is not null) return;
        var started = await _runner.StartAsync(new(_picture!.Plan, seat.Tube, seat.Socket), _task.Stopped);
        if (!started.IsAccepted)
        {
            Fail(string.Join(" ", started.Refusals));
            return;
        }
        var run = started.Value.Id;
        _judged = _judged.Remove(seat.Socket);
        Apply(new RoundEvent.SweepBegan(seat.Socket, run));
        _ = FollowAsync(_picture!.Id, seat.Socket, run);
    }

    private async Task FollowAsync(string round, int socket, string run)
    {
        try
        {
            var state = await _runner.WaitAsync(run, _task.Stopped);
            _task.Post(() => EndedAsync(round, socket, run, state));
        }
        catch (Exception fault) when (fault is OperationCanceledException or ObjectDisposedException)
        {
            // The program is stopping; the run is on record as far as it came.
        }
    }

    private async Task EndedAsync(string round, int socket, string run, RunState state)
    {
        if (Current() is not { } picture || picture.Id != round) return;
        var isVoid = state is RunState.Stopped or RunState.Incomplete
            || (state == RunState.Tripped && !((await _runs.FindAsync(run, _task.Stopped))?.Trips is [var trip, ..] && ByTheTube.Contains(trip.Cause)));
        Apply(new RoundEvent.SweepEnded(socket, isVoid));
        if (!isVoid) _ = JudgeAsync(round, socket, run);
        await GoOnAsync();
    }

    private async Task JudgeAsync(string round, int socket, string run)
    {
        while (!_task.Stopped.IsCancellationRequested)
        {
            try
            {
                var record = await _runs.FindAsync(run, _task.Stopped) ?? throw new InvalidOperationException($"SweepRig bug: run {run} of the round is not on record.");
                // A part of a curve would condemn a good tube.
                if (record.State == RunState.Running) throw new IOException("Its end waits to be brought to the server of the store.");
                var read = await RecordedRun.ReadAsync(_runs, record, _task.Stopped);
                var judgement = await _workbench.RunAsync(() => Judgement.Of(read, _task.Stopped), _task.Stopped);
                _task.Post(() => JudgedAsync(round, socket, judgement));
                return;
            }
            catch (Exception fault) when (!_task.Stopped.IsCancellationRequested)
            {
                _logger.LogError(LogEvents.RoundRunUnread, fault, "Run {Run} of the round cannot be looked at yet", run);
                _task.Post(() =>
                {
                    Fail(fault.Message);
                    return Task.CompletedTask;
                });
                await Task.Delay(RetryAfter, _time, CancellationToken.None);
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }

    private async Task JudgedAsync(string round, int socket, Judgement judgement)
    {
        if (Current() is not { } picture || picture.Id != round) return;
        _judged = _judged.SetItem(socket, judgement);
        if (judgement.Doubt is { } doubt) Apply(new RoundEvent.Doubted(socket, doubt));
        await GoOnAsync();
    }

    /// <summary>A verdict stands in the stock before the round is done with the tube.</summary>
    private async Task KeepJudgementsAsync()
    {
        foreach (var seat in _picture!.Round.Seats.Values.Where(s => s.Phase == SeatPhase.Judging && _judged.ContainsKey(s.Socket)).ToArray())
        {
            var verdict = _judged[seat.Socket].Verdict;
            var kept = await _stock.ChangeAsync(seat.Tube.Label, TubeChangeKind.Screened, verdict, _task.Stopped);
            _judged = _judged.Remove(seat.Socket);
            Apply(new RoundEvent.Judged(seat.Socket, kept.IsAccepted ? verdict : $"{verdict}; not kept in the stock: {kept.Refusals[0]}"));
        }
    }

    /// <summary>Heaters off, so that the last tubes cool before they are pulled.</summary>
    private async Task CloseAsync(RoundPicture picture)
    {
        if (picture.Round.Sweeping is not null) await _runner.StopAsync(_task.Stopped);
        _task.TickNoMore();
        Publish(_picture! with { IsOver = true });
        if (_runner.State is { Link: RigLinkState.Connected, Heater.On: true, Run: null }) await _runner.SetHeaterAsync(false, picture.Plan.Connection.Heater, _task.Stopped);
    }
}
