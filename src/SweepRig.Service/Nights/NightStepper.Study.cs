using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Service.Nights;

/// <content>A study, all of its acts as one step.</content>
public sealed partial class NightStepper
{
    private static readonly TimeSpan PermitEndsSoon = TimeSpan.FromMinutes(10);

    private async Task<SteppedOutcome> StudyAsync(StepTask task, CancellationToken cancellationToken)
    {
        if (runner.State.Identity is not { } rig) return new(new StepOutcome.Again("the rig is not connected"), 0);
        var id = Guid.CreateVersion7(time.GetUtcNow()).ToString("N");
        var setup = NightStudies.Of(task.Job.Work, id, task.Seat.Tube, task.Seat.Socket, rig with { HardLimits = rules.Tighten(rig.HardLimits, unattended: true) }, task.Ratings, task.HeaterSpeed) ?? throw new InvalidOperationException($"SweepRig bug: {task.Job.Work.Word} is no study.");
        var (coulombs, last) = (0.0, default(RunRecord));
        var conductor = new StudyConductor(
            runner,
            async (run, cancellation) =>
            {
                task.Began(run);
                var read = await ReadAsync(run, cancellation);
                (coulombs, last) = (coulombs + ChargeUsed.Of(read.Record.Header, read.Curves), read.Record);
                var blocks = new List<SampleBlock>();
                await foreach (var stored in runs.ReadBlocksAsync(run, 0, cancellation)) blocks.Add(stored.Block);
                return blocks;
            },
            async (sweep, cancellation) =>
            {
                // A permit lasts for hours at most, a study for the night.
                if (runner.State.Permit is { } inForce && inForce.EndsUtc - time.GetUtcNow() > PermitEndsSoon) return [];
                var granted = await PermitAsync(task, cancellation);
                return granted.Refusals;
            },
            time);
        var study = await conductor.RunAsync(await GoOnAsync(task, cancellationToken) ?? StudyRecord.Begin(rig, setup), (_, _) => { }, cancellationToken);
        return Found(study.Findings, last) with { Coulombs = coulombs };
    }

    /// <summary>A series or a life test that was cut short, as far as its runs tell; others begin anew, for the tube is no longer as they left it.</summary>
    private async Task<IStudy?> GoOnAsync(StepTask task, CancellationToken cancellationToken)
    {
        if (task.Earlier.Count == 0 || task.Job.Work is not (NightWork.Soak or NightWork.Repeat or NightWork.Life)) return null;
        var earlier = new List<StudyRun>();
        foreach (var run in task.Earlier)
        {
            var read = await ReadAsync(run, cancellationToken);
            earlier.Add(new(read.Record.Header, read.Record.State, read.Curves, read.Record.Trips));
        }
        try
        {
            foreach (var run in task.Earlier) task.Began(run);
            return StudyRecord.Replay(earlier, goesOn: true);
        }
        catch (InvalidDataException)
        {
            return null;
        }
    }

    private static SteppedOutcome Found(StudyFindings found, RunRecord? last)
    {
        var says = found.Figures.Count > 0 && found.Figures[0].Value.Value is not null ? $"{found.Because} {found.Figures[0].Meaning}: {FigureText(found.Figures[0])}" : found.Because;
        return found.End switch
        {
            StudyEnd.Completed or StudyEnd.FoldBack or StudyEnd.Limit => new(new StepOutcome.Passed(says), 0),
            StudyEnd.NotRecovered or StudyEnd.WornOut or StudyEnd.Dead => new(new StepOutcome.TubeOut(says), 0),
            StudyEnd.Tripped when last is not null && Unfinished(last, last.State, inScreening: false) is { } tripped => tripped,
            StudyEnd.Failed => new(new StepOutcome.Again(says), 0),
            _ => new(new StepOutcome.Failed(says), 0),
        };
    }

    private static string FigureText(StudyFigure figure) => Domain.Quantities.Engineering.Figure(figure.Value.Value!.Value, figure.Value.Unit, 3);
}
