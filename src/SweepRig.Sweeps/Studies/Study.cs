using SweepRig.Analysis;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Studies;

/// <summary>What all studies do alike: count acts, keep the clock, and end on a trip, a refusal or a run that did not come to its end.</summary>
public abstract record Study : IStudy
{
    private protected Study(RigIdentity rig, StudySetup setup) => (Rig, Setup) = (rig, setup);

    public RigIdentity Rig { get; }

    public StudySetup Setup { get; }

    public int Done { get; private init; }

    public TimeSpan Elapsed { get; private init; }

    public StudyEnd End { get; private init; }

    /// <summary>Why it ended, for people; empty while it is under way.</summary>
    public string Because { get; private init; } = "";

    public StudyAct Next => End == StudyEnd.UnderWay ? Due() : new StudyAct.Finish(Because);

    public StudyForecast Left => End == StudyEnd.UnderWay ? Forecast() : new(0, TimeSpan.Zero, TimeSpan.Zero, default(Volts));

    public abstract StudyFindings Findings { get; }

    public IStudy With(StudyResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        var act = Next;
        var now = this with { Done = Done + 1, Elapsed = result.At };
        switch (act, result)
        {
            case (StudyAct.Finish, _):
                throw new InvalidOperationException($"SweepRig bug: {result.GetType().Name} came after the study was over.");
            case (_, StudyResult.Refused refused):
                return now.Ending(StudyEnd.Failed, $"\"{act.Title}\" was refused: {string.Join(" ", refused.Reasons)}");
            case (StudyAct.Sweep or StudyAct.Watch, StudyResult.Ran ran):
                if (ran.Run.Trips is [var trip, ..]) return now.Ending(StudyEnd.Tripped, Tripped(act, trip));
                if (ran.Run.State != RunState.Complete || ran.Run.Curves.Count == 0) return now.Ending(StudyEnd.Failed, $"\"{act.Title}\" did not run to its end");
                return now.Take(act, ran);
            case (StudyAct.Heat or StudyAct.Cool or StudyAct.WaitUntil, StudyResult.Done):
                return now.Passed(act);
            default:
                throw new InvalidOperationException($"SweepRig bug: {result.GetType().Name} came where \"{act.Title}\" was due.");
        }
    }

    /// <summary>The next act, while under way.</summary>
    protected abstract StudyAct Due();

    protected abstract StudyForecast Forecast();

    /// <summary>Goes on with a run that came to its end without a trip.</summary>
    protected abstract Study Take(StudyAct act, StudyResult.Ran ran);

    /// <summary>Goes on after an act without a run.</summary>
    protected virtual Study Passed(StudyAct act) => this;

    protected Study Ending(StudyEnd end, string because) => this with { End = end, Because = because };

    /// <summary>Of the rig's calibration at a drive, V.</summary>
    internal static Figure DriveOf(RunHeader header, double volts) =>
        Figure.Of(volts, "V", header.Calibration.Drive.UncertaintyAt(volts), header.Calibration.IsNominal ? "the rig is not calibrated" : null);

    private static string Tripped(StudyAct act, Domain.Interlocks.Trip trip)
    {
        var advice = Domain.Interlocks.TripGuide.For(trip.Cause);
        var figures = trip.Measured.Length == 0 ? "" : $" ({trip.Measured}; limit {trip.Limit})";
        return $"in \"{act.Title}\" an interlock fired: {char.ToLowerInvariant(advice.Title[0])}{advice.Title[1..]}{figures}. {advice.Remedy}";
    }
}
