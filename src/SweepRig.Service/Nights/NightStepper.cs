using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Nights;

/// <summary>What became of a step at the bench.</summary>
/// <param name="Coulombs">Charge that went into the grid.</param>
/// <param name="Stops">Why the night must wait for a person; null where it need not.</param>
public sealed record SteppedOutcome(StepOutcome Outcome, double Coulombs, string? Stops = null);

/// <summary>A step that is to be done.</summary>
/// <param name="Night">Name of the night, for permits.</param>
/// <param name="LongestPermit">While nobody is there.</param>
/// <param name="Ratings">Of the type of the tube; null where it is not known.</param>
/// <param name="Earlier">Runs of an attempt that was cut short.</param>
/// <param name="Began">Told of each run as soon as it is on record.</param>
public sealed record StepTask(string Night, NightJob Job, NightSeat Seat, StepNeeds Needs, NightPermit? Permit, TimeSpan LongestPermit, TypeRatings? Ratings, double HeaterSpeed, IReadOnlyList<string> Earlier, Action<string> Began);

/// <summary>Does one step at the bench, from its begin to its end. A permit is granted for it alone where the night states one, and ended with it.</summary>
public sealed partial class NightStepper(ISweepRunner runner, RunStore runs, StockStore stock, Stock.FigureShelf figures, Workbench workbench, RuleSettings rules, TimeProvider time)
{
    /// <summary>A step that takes longer than this many times what was expected is not waited for by its permit.</summary>
    private const double PermitMargin = 2;

    /// <summary>Ten minutes.</summary>
    private const int MostReadTries = 600;

    private static readonly TimeSpan PermitRest = TimeSpan.FromMinutes(2);

    public async Task<SteppedOutcome> DoAsync(StepTask task, CancellationToken cancellationToken)
    {
        if (task.Needs.HighestDrive <= 0) return await WorkAsync(task, cancellationToken);
        if (task.Permit is not { } permit || task.Needs.HighestDrive > permit.Ceiling.Value) throw new InvalidOperationException("SweepRig bug: a step with positive drive has no permit of its night.");
        try
        {
            var granted = await PermitAsync(task, cancellationToken);
            return granted.IsAccepted ? await WorkAsync(task, cancellationToken) : new(new StepOutcome.Again($"no permit: {granted.Refusals[0]}"), 0);
        }
        finally
        {
            await runner.EndPermitAsync(CancellationToken.None);
        }
    }

    /// <summary>The permit of this step; one that is in force, whose ever it is, ends with it.</summary>
    private async Task<Outcome<Permit>> PermitAsync(StepTask task, CancellationToken cancellationToken)
    {
        if (runner.State.Permit is not null) await runner.EndPermitAsync(cancellationToken);
        var lasts = task.Needs.Takes * PermitMargin + runner.State.Heater.WarmAfter + PermitRest;
        return await runner.GrantPermitAsync(
            new(task.Needs.HighestDrive), lasts < task.LongestPermit ? lasts : task.LongestPermit, Short($"night {task.Night}, {task.Job.Name} on {task.Seat.Tube.Label}: {task.Permit!.Reason}"), cancellationToken);
    }

    private Task<SteppedOutcome> WorkAsync(StepTask task, CancellationToken cancellationToken) => task.Job.Work switch
    {
        NightWork.Screen => ScreenAsync(task, cancellationToken),
        NightWork.Sweep or NightWork.Family => SweepAsync(task, cancellationToken),
        _ => StudyAsync(task, cancellationToken),
    };

    private async Task<SteppedOutcome> SweepAsync(StepTask task, CancellationToken cancellationToken)
    {
        var started = await runner.StartAsync(new(task.Job.Work.Plan, task.Seat.Tube, task.Seat.Socket), cancellationToken);
        if (!started.IsAccepted) return Refused(started.Refusals);
        task.Began(started.Value.Id);
        var state = await EndAsync(started.Value.Id, cancellationToken);
        var read = await ReadAsync(started.Value.Id, cancellationToken);
        var coulombs = ChargeUsed.Of(read.Record.Header, read.Curves);
        if (Unfinished(read.Record, state, inScreening: false) is { } unfinished) return unfinished with { Coulombs = coulombs };
        var amps = read.Curves.Max(c => c.PlateCurrent.Where(double.IsFinite).DefaultIfEmpty(0).Max());
        if (amps < ScreeningLooks.LeastAmps) return new(new StepOutcome.TubeOut($"does not conduct: {new Domain.Quantities.Amps(amps)} of plate current at most"), coulombs);
        return new(await KeepsToAsync(task, $"conducts {new Domain.Quantities.Amps(amps)} of plate current at most", cancellationToken), coulombs);
    }

    /// <summary>Holds the tube against the limits of the job.</summary>
    private async Task<StepOutcome> KeepsToAsync(StepTask task, string verdict, CancellationToken cancellationToken)
    {
        if (task.Job.Limits.Count == 0) return new StepOutcome.Passed(verdict);
        var sources = Stock.StockQuantities.SourcesOf(task.Job.Limits.Select(l => l.Quantity));
        var found = await figures.ReadAsync(runs, task.Seat.Tube.Label, sources, cancellationToken);
        foreach (var limit in task.Job.Limits)
        {
            if (NightLimitCheck.Beyond(limit, found) is { } beyond) return new StepOutcome.TubeOut(beyond);
        }
        return new StepOutcome.Passed(verdict);
    }

    /// <summary>Waits for the end of a run; a night that is ended ends it.</summary>
    private async Task<RunState> EndAsync(string run, CancellationToken cancellationToken)
    {
        try
        {
            return await runner.WaitAsync(run, cancellationToken);
        }
        catch (OperationCanceledException)
        {
            await runner.StopAsync(CancellationToken.None);
            throw;
        }
    }

    private async Task<RecordedRun> ReadAsync(string run, CancellationToken cancellationToken)
    {
        // While the server of a shared store is away the record waits beside it; it is read when it has been brought there to its end: a part of a curve would condemn a good tube.
        for (var tries = 1; ; tries++)
        {
            try
            {
                var record = await runs.FindAsync(run, cancellationToken) ?? throw new InvalidOperationException($"SweepRig bug: run {run} of the night is not on record.");
                if (record.State != RunState.Running) return await RecordedRun.ReadAsync(runs, record, cancellationToken);
                if (tries >= MostReadTries) throw new InvalidOperationException($"the end of run {run} was not brought to the store within {MostReadTries} s");
            }
            catch (RunStoreException) when (tries < MostReadTries)
            {
                // Asked again below.
            }
            await Task.Delay(TimeSpan.FromSeconds(1), time, cancellationToken);
        }
    }

    /// <summary>What an end that is none means; null for a run that is whole.</summary>
    private static SteppedOutcome? Unfinished(RunRecord record, RunState state, bool inScreening)
    {
        if (state == RunState.Complete && record.Trips.Count == 0) return null;
        if (record.Trips is not [var trip, ..]) return new(new StepOutcome.Again($"the run ended {BenchViews.Word(state)}"), 0);
        var says = $"tripped: {TripGuide.For(trip.Cause).Title}{(trip.Measured is { Length: > 0 } measured ? $", {measured}, limit {trip.Limit}" : "")}";
        return NightTrips.Of(trip.Cause, inScreening) switch
        {
            TripBlame.Tube => new(new StepOutcome.TubeOut(says), 0),
            TripBlame.Step => new(new StepOutcome.Failed(says), 0),
            TripBlame.Passing => new(new StepOutcome.Again(says), 0),
            _ => new(new StepOutcome.Again(says), 0, says),
        };
    }

    /// <summary>What points into the request will be refused again; everything else may pass.</summary>
    private static SteppedOutcome Refused(IReadOnlyList<Refusal> refusals) => refusals.FirstOrDefault(r => r.Path.Length > 0) is { } fault
        ? new(new StepOutcome.Failed($"refused: {fault.Asked}; {fault.Allowed}"), 0)
        : new(new StepOutcome.Again(refusals[0].ToString()), 0);

    private static string Short(string reason) => reason.Length <= 200 ? reason : reason[..199] + "…";
}
