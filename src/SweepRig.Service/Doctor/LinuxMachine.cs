namespace SweepRig.Service.Doctor;

/// <summary>This computer.</summary>
public sealed class LinuxMachine(TimeProvider time) : IMachine
{
    public int UserId => OperatingSystem.IsLinux() ? LinuxCalls.UserId : 0;

    public string? Read(string path) => Try(() => File.ReadAllText(path));

    public IReadOnlyList<string> List(string directory) =>
        Try<IReadOnlyList<string>>(() => [.. Directory.EnumerateFileSystemEntries(directory).Select(p => Path.GetFileName(p)).Order(StringComparer.Ordinal)]) ?? [];

    public string? RealPath(string path) => Try(() => File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName ?? path);

    public FileOwner? OwnerOf(string path) => OperatingSystem.IsLinux() ? LinuxCalls.Stat(path)?.Owner : null;

    public DiskFacts? DiskOf(string path) =>
        OperatingSystem.IsLinux() && LinuxCalls.Disk(path) is { } disk && LinuxCalls.Stat(path) is { } stat ? new(disk.Total, disk.Free, disk.FreeFiles, disk.ReadOnly, stat.Device) : null;

    public KernelClock? Clock() => OperatingSystem.IsLinux() ? LinuxCalls.Clock() : null;

    public (TimeSpan Took, string? Fault) WriteDurably(string directory)
    {
        var path = Path.Combine(directory, $"doctor.{Environment.ProcessId}");
        var from = time.GetTimestamp();
        try
        {
            using (var file = new FileStream(path, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 0, FileOptions.DeleteOnClose))
            {
                file.Write(new byte[4096]);
                file.Flush(flushToDisk: true);
            }
            return (time.GetElapsedTime(from), null);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return (time.GetElapsedTime(from), fault.Message.TrimEnd('.'));
        }
    }

    private static T? Try<T>(Func<T?> ask)
        where T : class
    {
        try
        {
            return ask();
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
