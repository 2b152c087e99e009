using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Service.Contract;
using SweepRig.Storage;
using SweepRig.Sweeps.Calibrating;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Calibrations;

/// <summary>
/// Guides a calibration of the connected rig: the procedure says what is next, the runner holds the points, the store keeps each reading before it is answered. Safe from any thread.
/// </summary>
public sealed class CalibrationDesk(ISweepRunner runner, CalibrationStore store, CalibrationShelf shelf, CalibrationRules rules, TimeProvider time, IPracticeMeter? practice = null) : IDisposable
{
    // Taken for each act as a whole, so that two pages cannot save over each other; it waits for a rig, never for a person.
    private readonly SemaphoreSlim _one = new(1);
    private string? _held;

    public Task<Outcome<CalibrationStatusView>> StatusAsync(CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        var rig = runner.State.Identity;
        var procedure = rig is null ? null : (await LoadAsync(rig, cancellationToken)).Value;
        return Outcome<CalibrationStatusView>.Accept(Status(procedure));
    }, cancellationToken);

    public Task<Outcome<CalibrationStatusView>> BeginAsync(CalibrationPreparation preparation, CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        if (Rig() is not { } rig) return Refuse(NotConnected());
        if (await store.BegunAsync(rig.SerialNumber, cancellationToken) is not null)
            return Refuse(new("calibration-under-way", "", "a calibration was to be begun", $"one of rig {rig.SerialNumber} is under way", "Go on with it, or abandon it first."));
        var faults = PreparationChecks.Against(preparation, rig, runner.State.Permit, time.GetUtcNow());
        if (faults.Count > 0) return Outcome<CalibrationStatusView>.Refuse(faults);
        return await SavedAsync(new CalibrationProcedure(rig, time.GetUtcNow(), preparation), cancellationToken);
    }, cancellationToken);

    /// <summary>Has the rig hold the voltage of a step. Whatever was held before is let go.</summary>
    public Task<Outcome<CalibrationStatusView>> HoldAsync(string stepId, CancellationToken cancellationToken) => OnProcedureAsync(async procedure =>
    {
        if (HoldOf(procedure, stepId) is not { } request)
            return Refuse(new("step-unknown", "/step", $"step {stepId} was to be held", "the rig holds points, the plate rail and the heater", $"The next step is {procedure.Current.Id}."));
        await LetGoAsync(cancellationToken);
        var held = await runner.HoldAsync(request, cancellationToken);
        if (!held.IsAccepted) return Outcome<CalibrationStatusView>.Refuse(held.Refusals);
        _held = stepId;
        return Outcome<CalibrationStatusView>.Accept(Status(procedure));
    }, cancellationToken);

    /// <summary>Takes a reading of the meter; null has the practice meter read.</summary>
    public Task<Outcome<CalibrationStatusView>> ReadAsync(string stepId, double? value, CancellationToken cancellationToken) => OnProcedureAsync(async procedure =>
    {
        HeldReading? reading = null;
        var step = procedure.Find(stepId);
        if (step?.Point is not null)
        {
            if (_held != stepId)
                return Refuse(new("nothing-held", "", $"a reading for {stepId}", _held is null ? "no point is held" : $"{_held} is held", $"Hold {stepId}, read the meter, then give the reading."));
            var read = await runner.ReadHoldAsync(cancellationToken);
            if (!read.IsAccepted) return Outcome<CalibrationStatusView>.Refuse(read.Refusals);
            reading = read.Value;
        }
        if (value is null)
        {
            if (practice is null)
                return Refuse(new("no-practice-meter", "/value", $"a reading for {stepId} without a value", "only the simulated rig of this service has a practice meter", "Give the value that the meter shows."));
            if (step is not null) value = practice.Read(step, procedure.Prepared.Meter);
        }
        var taken = procedure.Take(stepId, value ?? double.NaN, reading);
        if (!taken.IsAccepted) return Outcome<CalibrationStatusView>.Refuse(taken.Refusals);
        var saved = await SavedAsync(taken.Value, cancellationToken);
        await LetGoAsync(cancellationToken);
        return saved;
    }, cancellationToken);

    public Task<Outcome<CalibrationStatusView>> AcceptAsync(CancellationToken cancellationToken) => ChangeAsync(p => p.Accept(), cancellationToken);

    public Task<Outcome<CalibrationStatusView>> RedoAsync(string what, CancellationToken cancellationToken) => ChangeAsync(p => p.Redo(what), cancellationToken);

    public Task<Outcome<CalibrationStatusView>> LeaveOutPositiveAsync(CancellationToken cancellationToken) => ChangeAsync(p => p.LeaveOutPositive(), cancellationToken);

    public Task<Outcome<CalibrationStatusView>> AbandonAsync(CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        if (Rig() is not { } rig) return Refuse(NotConnected());
        await LetGoAsync(cancellationToken);
        await store.DropBegunAsync(rig.SerialNumber, cancellationToken);
        return Outcome<CalibrationStatusView>.Accept(Status(null));
    }, cancellationToken);

    /// <summary>Keeps the finished calibration; the rig works on it from then on.</summary>
    public Task<Outcome<RigCalibration>> KeepAsync(CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        if (Rig() is not { } rig) return Outcome<RigCalibration>.Refuse(NotConnected());
        var procedure = await LoadAsync(rig, cancellationToken);
        if (!procedure.IsAccepted) return Outcome<RigCalibration>.Refuse(procedure.Refusals);
        var now = time.GetUtcNow();
        var finished = procedure.Value.Finish($"cal-{now.UtcDateTime:yyyyMMdd-HHmmss}-{rig.SerialNumber}", now, rules.Validity);
        return finished.IsAccepted ? await TakeUpAsync(await store.FinishAsync(finished.Value, cancellationToken), cancellationToken) : finished;
    }, cancellationToken);

    /// <summary>Whether a calibration from a document would be kept. It must be of the connected rig, and no other of its id may be on record. Changes nothing.</summary>
    public async Task<Outcome<CheckedCalibration>> CheckAsync(Outcome<RigCalibration> document, CancellationToken cancellationToken)
    {
        var found = OfThisRig(document);
        if (found.IsAccepted) found = await store.CheckAsync(found.Value, cancellationToken);
        if (!found.IsAccepted) return Outcome<CheckedCalibration>.Refuse(found.Refusals);
        var kept = await store.FindAsync(found.Value.Id, cancellationToken) is not null;
        return Outcome<CheckedCalibration>.Accept(new(found.Value.At(time.GetUtcNow()), kept, shelf.WouldBeUsed(found.Value)));
    }

    /// <summary>Keeps a calibration from a document, on the conditions of <see cref="CheckAsync"/>. One that is under way goes on.</summary>
    public Task<Outcome<RigCalibration>> ImportAsync(Outcome<RigCalibration> document, CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        var found = OfThisRig(document);
        return found.IsAccepted ? await TakeUpAsync(await store.AddAsync(found.Value, cancellationToken), cancellationToken) : found;
    }, cancellationToken);

    public void Dispose() => _one.Dispose();

    private Outcome<RigCalibration> OfThisRig(Outcome<RigCalibration> document)
    {
        if (!document.IsAccepted) return document;
        if (Rig() is not { } rig) return Outcome<RigCalibration>.Refuse(NotConnected());
        return CalibrationDocument.AgainstRig(document.Value, rig.SerialNumber) is { } other ? Outcome<RigCalibration>.Refuse(other) : document;
    }

    private async Task<Outcome<RigCalibration>> TakeUpAsync(Outcome<RigCalibration> added, CancellationToken cancellationToken)
    {
        if (!added.IsAccepted) return added;
        await shelf.RefreshAsync(cancellationToken);
        await runner.ApplyCalibrationAsync(cancellationToken);
        return added;
    }

    private Task<Outcome<CalibrationStatusView>> ChangeAsync(Func<CalibrationProcedure, Outcome<CalibrationProcedure>> change, CancellationToken cancellationToken) => OnProcedureAsync(async procedure =>
    {
        var changed = change(procedure);
        return changed.IsAccepted ? await SavedAsync(changed.Value, cancellationToken) : Outcome<CalibrationStatusView>.Refuse(changed.Refusals);
    }, cancellationToken);

    private Task<Outcome<CalibrationStatusView>> OnProcedureAsync(Func<CalibrationProcedure, Task<Outcome<CalibrationStatusView>>> act, CancellationToken cancellationToken) => AloneAsync(async () =>
    {
        if (Rig() is not { } rig) return Refuse(NotConnected());
        var procedure = await LoadAsync(rig, cancellationToken);
        return procedure.IsAccepted ? await act(procedure.Value) : Outcome<CalibrationStatusView>.Refuse(procedure.Refusals);
    }, cancellationToken);

    private async Task<Outcome<CalibrationProcedure>> LoadAsync(RigIdentity rig, CancellationToken cancellationToken) =>
        await store.BegunAsync(rig.SerialNumber, cancellationToken) is { } text
            ? ProcedureDocument.Read(text, rig)
            : Outcome<CalibrationProcedure>.Refuse(new Refusal("no-calibration-under-way", "", "a calibration was to go on", $"none of rig {rig.SerialNumber} is under way", "Begin one."));

    private async Task<Outcome<CalibrationStatusView>> SavedAsync(CalibrationProcedure procedure, CancellationToken cancellationToken)
    {
        await store.SaveBegunAsync(procedure.Rig.SerialNumber, ProcedureDocument.Write(procedure), cancellationToken);
        return Outcome<CalibrationStatusView>.Accept(Status(procedure));
    }

    /// <summary>A hold that has ended by itself meanwhile needs no end.</summary>
    private async Task LetGoAsync(CancellationToken cancellationToken)
    {
        _held = null;
        if (runner.State.Hold is not null) await runner.StopAsync(cancellationToken);
    }

    private static HoldRequest? HoldOf(CalibrationProcedure procedure, string stepId)
    {
        var prepared = procedure.Prepared;
        var rest = CalibrationPoints.RestCode(procedure.Rig);
        return procedure.Find(stepId) switch
        {
            { Point: { } point } => new(point.DriveCode, point.PlateRailVolts, null, prepared.Fixture, prepared.Socket, point.IsPositive ? HoldRequest.LongestPositive : HoldRequest.LongestOfAll),
            { Rail: RailPlace.PlateRail } step => new(rest, step.Expected, null, prepared.Fixture, prepared.Socket, HoldRequest.LongestOfAll),
            { Rail: RailPlace.Heater } step => new(rest, CalibrationPoints.RestRail(procedure.Rig), step.Expected, prepared.Fixture, prepared.Socket, HoldRequest.LongestOfAll),
            _ => null,
        };
    }

    private CalibrationStatusView Status(CalibrationProcedure? procedure) =>
        CalibrationViews.Status(runner.State, procedure, runner.State.Hold is null ? null : _held, practice is not null, time.GetUtcNow());

    private RigIdentity? Rig() => runner.State.Link == RigLinkState.Connected ? runner.State.Identity : null;

    private Refusal NotConnected() => new(
        "rig-not-connected", "", "a calibration was asked for", $"{runner.State.RigName} is not connected{(runner.State.LinkFault is { } fault ? $": {fault}" : "")}", "Check its cable and power; it is looked for all the time.");

    private static Outcome<CalibrationStatusView> Refuse(Refusal refusal) => Outcome<CalibrationStatusView>.Refuse(refusal);

    private async Task<T> AloneAsync<T>(Func<Task<T>> act, CancellationToken cancellationToken)
    {
        await _one.WaitAsync(cancellationToken);
        try
        {
            return await act();
        }
        finally
        {
            _one.Release();
        }
    }
}

/// <param name="Calibration">As it stands today.</param>
/// <param name="IsKept">This very calibration is on record already.</param>
/// <param name="WouldBeUsed">The rig would work on it; false when there is a better one, newer or not yet stale.</param>
public sealed record CheckedCalibration(RigCalibration Calibration, bool IsKept, bool WouldBeUsed);

/// <param name="Validity">How long a calibration that is made here holds.</param>
public sealed record CalibrationRules(TimeSpan Validity);

/// <summary>A meter that reads the simulated rig, to practise with.</summary>
public interface IPracticeMeter
{
    /// <summary>What it shows for a step, volts or ohms.</summary>
    double Read(CalibrationStep step, ReferenceMeter meter);
}
