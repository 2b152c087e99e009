using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Service.Studies;

/// <summary>A study made anew from the runs that it left on record.</summary>
/// <param name="Study">As far as its runs tell.</param>
/// <param name="Runs">In the order they were made.</param>
public sealed record RecordedStudy(IStudy Study, IReadOnlyList<RunRecord> Runs)
{
    public StudyView View => StudyView.Of(Study, Runs[0].Header.StartedUtc, [.. Runs.Select(r => r.Header.Id)]);

    /// <summary>How one comes to a study of a tube.</summary>
    public static string Begin(string tube) => $"Begin one: sweeprig explore --tube {tube} --ceiling 12 --reason \"how far it may go\".";

    /// <param name="run">Any run of the study.</param>
    /// <param name="calibration">That the figures are to be derived with, as for any run; null for as measured.</param>
    /// <returns>The study; or why there is none: the run belongs to none, its record is damaged, or the calibration is unknown.</returns>
    public static async Task<Outcome<RecordedStudy>> ReadAsync(
        RunStore store, CalibrationStore calibrations, RunRecord run, string? calibration, CancellationToken cancellationToken)
    {
        if (run.Header.Study is not { } tag)
        {
            return Outcome<RecordedStudy>.Refuse(new Refusal(
                "run-is-no-study", "", $"the study of tube {run.Header.Tube.Label} was asked for by run {run.Header.Id}", "this run stands by itself, and is no part of a study",
                Begin(run.Header.Tube.Label)));
        }
        // All runs of a study are of one tube, and ids sort by time.
        RunRecord[] records = [.. (await store.OfTubeAsync(run.Header.Tube.Label, cancellationToken)).Where(r => r.Header.Study?.StudyId == tag.StudyId).OrderBy(r => r.Header.Id, StringComparer.Ordinal)];
        List<StudyRun> runs = [];
        foreach (var record in records)
        {
            var read = await RecordedRun.ReadAsync(store, calibrations, record, calibration, cancellationToken);
            if (!read.IsAccepted) return Outcome<RecordedStudy>.Refuse(read.Refusals);
            runs.Add(new(record.Header with { Calibration = read.Value.InForce }, record.State, read.Value.Curves, record.Trips));
        }
        try
        {
            // A run that goes on just now is no end of the study.
            return Outcome<RecordedStudy>.Accept(new(StudyRecord.Replay(runs, goesOn: records[^1].State == RunState.Running), records));
        }
        catch (InvalidDataException fault)
        {
            return Outcome<RecordedStudy>.Refuse(new Refusal("study-not-readable", "", $"the study that run {run.Header.Id} belongs to was asked for", fault.Message.TrimEnd('.'), "Its runs can be shown one by one: sweeprig runs show ID."));
        }
    }
}
