using SweepRig.Storage.Archives;

namespace SweepRig.Service.Contract;

/// <summary>What went into an archive.</summary>
/// <param name="Runs">Ids.</param>
/// <param name="LeftOut">Ids of runs that are still being recorded.</param>
/// <param name="Lots">Lots of which it has tubes.</param>
/// <param name="Tubes">Tubes with their histories.</param>
/// <param name="Calibrations">Ids.</param>
/// <param name="Types">Documents of types.</param>
public sealed record WrittenArchiveView(string[] Runs, string[] LeftOut, int Lots, int Tubes, string[] Calibrations, int Types);

/// <summary>What an archive would bring, or has brought.</summary>
/// <param name="TakenIn">True when it has been done.</param>
/// <param name="SoftwareVersion">Of the program that wrote it.</param>
/// <param name="MadeUtc">When.</param>
/// <param name="NewRuns">Ids of runs that were not here.</param>
/// <param name="SameRuns">Runs that are here already.</param>
/// <param name="NewTubes">Numbers.</param>
/// <param name="SameTubes">Tubes that are here already.</param>
/// <param name="LongerTubes">Numbers of tubes whose history goes on.</param>
/// <param name="NewLots">Names.</param>
/// <param name="NewCalibrations">Ids.</param>
/// <param name="Conflicts">What is here under the same name and is not the same.</param>
public sealed record ArchiveFindingsView(
    bool TakenIn, string SoftwareVersion, DateTimeOffset MadeUtc, string[] NewRuns, int SameRuns, string[] NewTubes, int SameTubes, string[] LongerTubes, string[] NewLots,
    string[] NewCalibrations, ArchiveConflictView[] Conflicts);

/// <param name="Kind">What it is.</param>
/// <param name="Name">Id, name or number.</param>
/// <param name="Here">What is here.</param>
/// <param name="There">What the archive has.</param>
public sealed record ArchiveConflictView([property: OneOf("run", "calibration", "lot", "tube")] string Kind, string Name, string Here, string There);

/// <summary>From the store's words.</summary>
public static class ArchiveViews
{
    public static WrittenArchiveView Of(WrittenArchive written) =>
        new([.. written.Runs], [.. written.LeftOut], written.Lots, written.Tubes, [.. written.Calibrations], written.Types);

    public static ArchiveFindingsView Of(ArchiveFindings found) => new(
        found.TakenIn, found.Manifest.SoftwareVersion, found.Manifest.MadeUtc, [.. found.NewRuns], found.SameRuns, [.. found.NewTubes], found.SameTubes, [.. found.LongerTubes],
        [.. found.NewLots], [.. found.NewCalibrations], [.. found.Conflicts.Select(c => new ArchiveConflictView(c.Kind, c.Name, c.Here, c.There))]);
}
