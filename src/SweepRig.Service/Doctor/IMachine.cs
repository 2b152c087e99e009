namespace SweepRig.Service.Doctor;

/// <summary>What an examination asks of the computer it runs on. Nothing throws: what cannot be learned is null or empty.</summary>
public interface IMachine
{
    /// <summary>Content of a small text file, such as those of the kernel.</summary>
    string? Read(string path);

    /// <summary>Names of what is in a directory, in order.</summary>
    IReadOnlyList<string> List(string directory);

    /// <summary>A path without symbolic links.</summary>
    string? RealPath(string path);

    FileOwner? OwnerOf(string path);

    DiskFacts? DiskOf(string path);

    KernelClock? Clock();

    /// <summary>Effective user of this process.</summary>
    int UserId { get; }

    /// <summary>Writes a small file in the directory, waits until it is on the disk, and deletes it.</summary>
    /// <returns>How long that took, or why it failed.</returns>
    (TimeSpan Took, string? Fault) WriteDurably(string directory);
}

/// <param name="Mode">Permission bits, as in chmod.</param>
public sealed record FileOwner(int UserId, int GroupId, int Mode);

/// <param name="FreeBytes">For this user.</param>
/// <param name="FreeFiles">Files that can still be made; null where the file system has no such limit.</param>
/// <param name="Device">Number of the device, major and minor, as /sys names it.</param>
public sealed record DiskFacts(long TotalBytes, long FreeBytes, long? FreeFiles, bool ReadOnly, string Device);

/// <param name="Synchronised">The kernel's own word, whatever program disciplines it.</param>
/// <param name="MaxError">Largest error that the kernel reckons with.</param>
public sealed record KernelClock(bool Synchronised, TimeSpan MaxError);
