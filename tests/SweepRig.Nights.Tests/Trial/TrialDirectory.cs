namespace SweepRig.Nights;

/// <summary>A data directory that goes with its trial.</summary>
public sealed class TrialDirectory : IDisposable
{
    /// <summary>Memory that is a directory: the disk's time is no part of a trial on a virtual clock, and what a disk forgets is tried elsewhere.</summary>
    private const string InMemory = "/dev/shm";

    public string Path { get; } = Directory.Exists(InMemory) ? Directory.CreateDirectory($"{InMemory}/sweeprig-night-{Guid.NewGuid():N}").FullName : Directory.CreateTempSubdirectory("sweeprig-night-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
