namespace SweepRig.Nights;

/// <summary>A data directory that goes with its trial.</summary>
public sealed class TrialDirectory : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("sweeprig-night-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
