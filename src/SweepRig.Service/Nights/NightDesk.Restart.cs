using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <content>A night that an earlier process left under way.</content>
public sealed partial class NightDesk
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(500);

    private bool _mayTakeUp;
    private long _lookedAt;

    /// <summary>True once there is nothing to take up, or it has been taken up.</summary>
    private async Task<bool> TakenUpAsync()
    {
        if (_toTakeUp is null && (_lookedForOld || Current() is not null)) return true;
        if (_lookedAt != 0 && !_mayTakeUp && _time.GetElapsedTime(_lookedAt) < LookEvery) return false;
        _lookedAt = _time.GetTimestamp();
        if (!_lookedForOld)
        {
            _toTakeUp = await _nights.UnderWayAsync(_choice.Name, _task.Stopped);
            _lookedForOld = true;
            if (_toTakeUp is null) return true;
            var read = NightDocument.Parse(_toTakeUp.Document);
            if (!read.IsAccepted)
            {
                await _nights.EndAsync(_toTakeUp.Id, [], _toTakeUp.Progress, $"its document is not read by this version: {read.Refusals[0]}", _task.Stopped);
                _toTakeUp = null;
                return true;
            }
            _mayTakeUp = read.Value.GoesOnAfterRestart;
            Publish(new(_toTakeUp.Id, 0, read.Value, null, NightRecords.Read<ForecastDocument>(_toTakeUp.Forecast), _toTakeUp.BegunUtc, "is taken up again", null));
        }
        await TakeUpAsync();
        return _toTakeUp is null;
    }

    private async Task TakeUpAsync()
    {
        var (stored, picture) = (_toTakeUp!, _picture!);
        if (!_mayTakeUp)
        {
            Say("was cut short when the service ended; its document says that it does not go on by itself", null);
            return;
        }
        var facts = Facts(stored.BegunUtc);
        if (!facts.IsAccepted)
        {
            Say($"goes on when {facts.Refusals[0].Allowed.TrimEnd('.')} no longer holds", null);
            return;
        }
        var progress = NightRecords.Read<NightProgress>(stored.Progress);
        if (progress.Rig != facts.Value.Rig.SerialNumber)
        {
            Say($"cannot go on: another rig answers, {facts.Value.Rig.SerialNumber}, where the night was begun on {progress.Rig}", null);
            return;
        }
        // What was asked for then may no longer all be reached.
        var setup = NightChecks.Check(picture.Order with { MayBeCutShort = true }, NightRecords.Read<Tube[]>(stored.Tubes), facts.Value);
        if (!setup.IsAccepted)
        {
            Say($"cannot go on with this rig: {setup.Refusals[0]}", null);
            return;
        }
        var steps = NightRecords.Steps(await _nights.StepsAsync(stored.Id, _task.Stopped), setup.Value).ToArray();
        // The clock of the computer counts only here, and never takes the night back before what is on record.
        var at = _time.GetUtcNow() - stored.BegunUtc;
        var least = steps.SelectMany(s => new[] { s.BeganAt, s.EndedAt }).OfType<TimeSpan>().Append(TimeSpan.FromSeconds(progress.At)).Max();
        (_baseAt, _baseStamp) = (at > least ? at : least, _time.GetTimestamp());
        var night = Night.Resume(setup.Value, steps, TimeSpan.FromSeconds(progress.HeaterSeconds), progress.Coulombs, progress.Acknowledgements, progress.Out, _baseAt);
        // What only a person releases does not release itself by a restart.
        if (progress is { NeedsPerson: true, HeldBecause: { } held }) night = night.With(new NightEvent.Held(held, NeedsPerson: true), _baseAt);
        _toTakeUp = null;
        Publish(picture with { Night = night, TakenUp = progress.TakenUp + 1, Doing = "was taken up again" });
        foreach (var step in steps.Where(s => s.State == StepState.Running)) _unsaved.Add(step.Index);
        MarkUnsaved(null, night);
    }
}
