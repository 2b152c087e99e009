using SweepRig.Analysis.Health;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Nights;

/// <content>A screening, all of its steps as one.</content>
public sealed partial class NightStepper
{
    private async Task<SteppedOutcome> ScreenAsync(StepTask task, CancellationToken cancellationToken)
    {
        if (runner.State.Identity is not { } rig) return new(new StepOutcome.Again("the rig is not connected"), 0);
        var id = Guid.CreateVersion7(time.GetUtcNow()).ToString("N");
        // Nobody is there to tap the bulb.
        var procedure = ScreeningProcedure.Begin(rig, new(id, task.Seat.Tube, task.Seat.Socket, task.Job.Work.Plan.Connection) { Taps = false, HeaterSpeed = task.HeaterSpeed });
        while (procedure.Next is { } step)
        {
            var started = await runner.StartStepAsync(new(id, step, task.Seat.Tube, procedure.Setup.Fixture, task.Seat.Socket), cancellationToken);
            if (!started.IsAccepted) return Refused(started.Refusals);
            task.Began(started.Value.Id);
            var state = await EndAsync(started.Value.Id, cancellationToken);
            var read = await ReadAsync(started.Value.Id, cancellationToken);
            // A trip of the tube is a finding of the screening; one of the bench is none.
            if (Unfinished(read.Record, state, inScreening: true) is { Outcome: not StepOutcome.TubeOut } unfinished) return unfinished;
            procedure = procedure.With(new ScreeningRun(read.Record.Header, state, read.Curves.Count > 0 ? read.Curves[0] : null, read.Record.Trips));
        }
        var report = await workbench.RunAsync(() => HealthFinder.Find(procedure.Runs), cancellationToken);
        var says = string.Join("; ", report.Reasons.Prepend(HealthView.Word(report.Verdict)));
        await KeepAsync(task, says, cancellationToken);
        var outcome = report.Verdict switch
        {
            HealthVerdict.Good or HealthVerdict.Doubtful => await KeepsToAsync(task, says, cancellationToken),
            HealthVerdict.Bad => new StepOutcome.TubeOut(says),
            _ => new StepOutcome.Failed(says),
        };
        return new(outcome, 0);
    }

    /// <summary>Keeps the verdict in the history of a tube that the stock has.</summary>
    private async Task KeepAsync(StepTask task, string says, CancellationToken cancellationToken)
    {
        var number = TubeNumber.Split(task.Seat.Tube.Label);
        var line = number.Section is { } section ? FormattableString.Invariant($"section {section} {says}") : says;
        if (await stock.FindAsync(number.Label, cancellationToken) is not null)
            await stock.ChangeAsync(number.Label, TubeChangeKind.Screened, line.Length <= TubeChange.LongestText ? line : line[..(TubeChange.LongestText - 1)] + "…", cancellationToken);
    }
}
