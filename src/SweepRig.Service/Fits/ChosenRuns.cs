using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Fits;

/// <summary>The runs that are fitted together: of one tube, ended, and not more than a fit can take.</summary>
/// <param name="Runs">The one asked about first.</param>
public sealed record ChosenRuns(IReadOnlyList<RecordedRun> Runs)
{
    public const int MostRuns = 16;

    /// <summary>Points of all passes together: a fit of so many takes some seconds.</summary>
    public const int MostPoints = 20_000;

    public RecordedRun First => Runs[0];

    public string[] Ids => [.. Runs.Select(r => r.Record.Header.Id)];

    /// <param name="first">The run asked about.</param>
    /// <param name="others">Ids of the runs to fit together with it; the first among them and repeats count once.</param>
    /// <param name="calibration">See <see cref="Calibrations.CalibrationChoice"/>; the same for all.</param>
    /// <returns>The runs, or every reason why not; paths are <c>/with</c> and <c>/calibration</c>.</returns>
    public static async Task<Outcome<ChosenRuns>> ReadAsync(
        RunStore store, CalibrationStore calibrations, RunRecord first, IEnumerable<string> others, string? calibration, CancellationToken cancellationToken)
    {
        var records = new List<RunRecord> { first };
        var faults = new List<Refusal>();
        foreach (var id in others.Distinct(StringComparer.Ordinal).Where(id => id != first.Header.Id))
        {
            if (await store.FindAsync(id, cancellationToken) is not { } found)
                faults.Add(new("run-unknown", "/with", $"run {id}", "there is none of that id here", "Choose among the recorded runs of this tube."));
            else records.Add(found);
        }
        faults.AddRange(Faults(records));
        if (faults.Count > 0) return Outcome<ChosenRuns>.Refuse(faults);

        var runs = new List<RecordedRun>();
        foreach (var record in records)
        {
            var read = await RecordedRun.ReadAsync(store, calibrations, record, calibration, cancellationToken);
            if (!read.IsAccepted) return Outcome<ChosenRuns>.Refuse(read.Refusals);
            runs.Add(read.Value);
        }
        return Outcome<ChosenRuns>.Accept(new(runs));
    }

    /// <summary>Reasons not to fit these together.</summary>
    public static IEnumerable<Refusal> Faults(IReadOnlyList<RunRecord> runs)
    {
        var tube = runs[0].Header.Tube;
        foreach (var other in runs.Where(r => r.Header.Tube.Label != tube.Label || r.Header.Tube.TypeName != tube.TypeName))
        {
            yield return new("another-tube", "/with", $"run {other.Header.Id} of {other.Header.Tube.Label}, {other.Header.Tube.TypeName}",
                $"a fit is of one tube, and the first run is of {tube.Label}, {tube.TypeName}", "Choose runs of the same tube.");
        }
        foreach (var running in runs.Where(r => r.State == RunState.Running))
            yield return new("run-not-ended", "/with", $"run {running.Header.Id}, which is under way", "a fit takes runs that have ended", "Ask again when it has ended.");
        if (runs.Count > MostRuns)
            yield return new("too-many-runs", "/with", $"{runs.Count} runs", $"at most {MostRuns} are fitted together", "Choose those with different resistors or connections; repeats add little.");
        var points = runs.Sum(r => r.Header.Passes.Sum(p => (long)p.Points));
        if (points > MostPoints)
            yield return new("too-many-points", "/with", $"{points} points", $"at most {MostPoints} are fitted together", "Choose fewer runs, or sweep with fewer points or repeats.");
    }
}
