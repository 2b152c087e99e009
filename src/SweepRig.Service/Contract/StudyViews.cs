using SweepRig.Analysis;
using SweepRig.Domain.Studies;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Service.Contract;

/// <param name="Word">Kebab-case, stable.</param>
public sealed record StudyFigureView(string Word, string Meaning, Figure Figure);

/// <summary>A quantity against another, over the steps of a study.</summary>
/// <param name="X">In the unit of x.</param>
/// <param name="Y">As many; null where there is no value.</param>
/// <param name="Uncertainty">Standard uncertainty of each y; null where it was not estimated.</param>
public sealed record StudySeriesView(string Word, string XMeaning, string XUnit, string YMeaning, string YUnit, double[] X, double?[] Y, double?[] Uncertainty);

/// <summary>What a study found, or has found so far.</summary>
/// <param name="End">Why it ended; <c>under-way</c> where it did not come to its end.</param>
/// <param name="Because">The same for people; empty while it is under way.</param>
/// <param name="Figures">The one that matters most first.</param>
/// <param name="Notes">What to know before relying on it.</param>
/// <param name="Runs">Ids, in the order they were made.</param>
public sealed record StudyView(
    string StudyId,
    [property: OneOf("exploration", "soak", "warm-up", "life", "repeat")] string Kind,
    TubeView Tube,
    int Socket,
    DateTimeOffset StartedUtc,
    [property: OneOf("under-way", "completed", "fold-back", "limit", "not-recovered", "unsteady", "worn-out", "dead", "tripped", "failed")] string End,
    string Because,
    StudyFigureView[] Figures,
    StudySeriesView[] Series,
    string[] Notes,
    string[] Runs)
{
    public static StudyView Of(IStudy study, DateTimeOffset startedUtc, IReadOnlyList<string> runs)
    {
        var (found, setup) = (study.Findings, study.Setup);
        return new(
            setup.StudyId, Word(found.Kind), new(setup.Tube.Label, setup.Tube.TypeName, setup.Tube.Lot), setup.Socket, startedUtc, Word(found.End), found.Because,
            [.. found.Figures.Select(f => new StudyFigureView(f.Word, f.Meaning, f.Value))],
            [.. found.Series.Select(s => new StudySeriesView(s.Word, s.XMeaning, s.XUnit, s.YMeaning, s.YUnit, [.. s.X], Known(s.Y), Known(s.Uncertainty)))],
            [.. found.Notes], [.. runs]);
    }

    public static string Word(StudyKind kind) => kind switch
    {
        StudyKind.Exploration => "exploration",
        StudyKind.Soak => "soak",
        StudyKind.WarmUp => "warm-up",
        StudyKind.Life => "life",
        StudyKind.Repeat => "repeat",
        _ => throw new InvalidOperationException($"SweepRig bug: study kind {kind} has no word."),
    };

    public static string Word(StudyEnd end) => end switch
    {
        StudyEnd.UnderWay => "under-way",
        StudyEnd.Completed => "completed",
        StudyEnd.FoldBack => "fold-back",
        StudyEnd.Limit => "limit",
        StudyEnd.NotRecovered => "not-recovered",
        StudyEnd.Unsteady => "unsteady",
        StudyEnd.WornOut => "worn-out",
        StudyEnd.Dead => "dead",
        StudyEnd.Tripped => "tripped",
        StudyEnd.Failed => "failed",
        _ => throw new InvalidOperationException($"SweepRig bug: study end {end} has no word."),
    };

    private static double?[] Known(IReadOnlyList<double> values) => [.. values.Select(v => double.IsFinite(v) ? v : (double?)null)];
}
