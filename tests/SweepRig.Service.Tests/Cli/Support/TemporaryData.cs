namespace SweepRig.Service.Tests.Cli.Support;

/// <summary>A data directory of the test's own, gone with it.</summary>
public sealed class TemporaryData : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("sweeprig-cli-").FullName;

    public string File(string name) => System.IO.Path.Combine(Path, name);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
