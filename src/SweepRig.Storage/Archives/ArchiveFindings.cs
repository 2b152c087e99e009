using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;

namespace SweepRig.Storage.Archives;

/// <summary>Something that is in an archive and here under one name, and is not the same.</summary>
/// <param name="Kind"><c>run</c>, <c>calibration</c>, <c>lot</c> or <c>tube</c>.</param>
/// <param name="Name">Id, name or number.</param>
/// <param name="Here">What is here.</param>
/// <param name="There">What the archive has.</param>
public sealed record ArchiveConflict(string Kind, string Name, string Here, string There);

/// <summary>What an archive would bring, or has brought.</summary>
/// <param name="Manifest">Its own words.</param>
/// <param name="NewRuns">Ids of runs that are not here yet.</param>
/// <param name="SameRuns">Runs that are here already, to the last code.</param>
/// <param name="NewCalibrations">Ids.</param>
/// <param name="NewLots">Names.</param>
/// <param name="NewTubes">Numbers.</param>
/// <param name="LongerTubes">Numbers of tubes whose history goes on in the archive where it ends here.</param>
/// <param name="SameTubes">Tubes that are here already, with the same history or a longer one.</param>
/// <param name="Conflicts">What stands against it.</param>
/// <param name="Types">Documents of tube types, as they are in the archive; nothing is done with them here.</param>
/// <param name="TakenIn">True when it has been done, false when it was only looked at.</param>
public sealed record ArchiveFindings(
    ArchiveManifest Manifest,
    IReadOnlyList<string> NewRuns,
    int SameRuns,
    IReadOnlyList<string> NewCalibrations,
    IReadOnlyList<string> NewLots,
    IReadOnlyList<string> NewTubes,
    IReadOnlyList<string> LongerTubes,
    int SameTubes,
    IReadOnlyList<ArchiveConflict> Conflicts,
    IReadOnlyList<string> Types,
    bool TakenIn)
{
    /// <summary>True when nothing here would change.</summary>
    public bool BringsNothing => NewRuns.Count + NewCalibrations.Count + NewLots.Count + NewTubes.Count + LongerTubes.Count == 0;
}

/// <summary>How a tube of an archive stands to the one of its number that is here.</summary>
internal static class TubeComparison
{
    /// <returns>Changes that are to be added here, none when it is the same or here knows more; null when the histories part.</returns>
    public static IReadOnlyList<TubeChange>? Rest(StockTube here, StockTube there)
    {
        var same = here.History.Zip(there.History).TakeWhile(p => p.First == p.Second).Count();
        return same == there.History.Count ? [] : same == here.History.Count ? [.. there.History.Skip(same)] : null;
    }

    public static string Parting(StockTube tube, StockTube other)
    {
        var same = tube.History.Zip(other.History).TakeWhile(p => p.First == p.Second).Count();
        var change = tube.History[same];
        return FormattableString.Invariant($"{change.Kind.ToString().ToLowerInvariant()} \"{change.Text}\" on {change.AtUtc:yyyy-MM-dd HH:mm} UTC");
    }

    public static string Of(RunRecord run) => FormattableString.Invariant($"of tube {run.Header.Tube.Label}, {run.Samples} samples, {run.State.ToString().ToLowerInvariant()}");
}
