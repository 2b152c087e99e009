using System.Globalization;

namespace SweepRig.Rigs.Serial;

/// <summary>Which process has a device open, as far as /proc tells this user (proc(5), /proc/[pid]/fd). Linux only.</summary>
/// <param name="ProcessId">Its id.</param>
/// <param name="Name">Its command, shortened by the kernel to 15 characters.</param>
public sealed record PortHolder(int ProcessId, string Name)
{
    public override string ToString() => $"{Name}, process {ProcessId}";

    /// <summary>Other processes that have it open. Those of other users are seen by root alone.</summary>
    public static IReadOnlyList<PortHolder> Of(string path) => Of(path, "/proc", Environment.ProcessId);

    internal static IReadOnlyList<PortHolder> Of(string path, string proc, int self)
    {
        var device = Target(path);
        if (!Directory.Exists(proc)) return [];
        return [.. Directory.EnumerateDirectories(proc)
            .Select(d => int.TryParse(Path.GetFileName(d), NumberStyles.None, CultureInfo.InvariantCulture, out var id) ? id : 0)
            .Where(id => id > 0 && id != self && HasOpen(Path.Combine(proc, $"{id}", "fd"), device))
            .Order()
            .Select(id => new PortHolder(id, NameOf(Path.Combine(proc, $"{id}", "comm"))))];
    }

    /// <summary>The device behind a link such as those in /dev/serial/by-id.</summary>
    private static string Target(string path)
    {
        try
        {
            return File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName ?? Path.GetFullPath(path);
        }
        catch (IOException)
        {
            return Path.GetFullPath(path);
        }
    }

    private static bool HasOpen(string descriptors, string device)
    {
        try
        {
            var open = Directory.EnumerateFileSystemEntries(descriptors).Select(d => new FileInfo(d).LinkTarget).ToArray();
            // Whoever has the other end of a pseudo-terminal (pty(7)) is the rig, and not a host beside us.
            return open.Contains(device) && !(device.StartsWith("/dev/pts/", StringComparison.Ordinal) && open.Any(o => o is "/dev/ptmx" or "/dev/pts/ptmx"));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            // Of another user, or gone meanwhile.
            return false;
        }
    }

    private static string NameOf(string file)
    {
        try
        {
            return File.ReadAllText(file).Trim();
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return "a program";
        }
    }
}
