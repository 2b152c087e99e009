namespace SweepRig.Service.Api;

/// <summary>A file for what comes or goes in one request: on disk, not in memory, and gone when it is closed.</summary>
public static class PassingFile
{
    public static FileStream Make() => new(
        Path.Combine(Path.GetTempPath(), Path.GetRandomFileName()), FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, 1 << 16, FileOptions.DeleteOnClose | FileOptions.Asynchronous);
}
