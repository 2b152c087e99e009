using System.Diagnostics;

namespace SweepRig.Storage.Tests.Support;

/// <summary>A file system in memory of a fixed size, where this user may mount one.</summary>
internal sealed class SmallDisk : IDisposable
{
    private SmallDisk(string path) => Path = path;

    public string Path { get; }

    public static SmallDisk? TryMount(string path, string size)
    {
        Directory.CreateDirectory(path);
        return OperatingSystem.IsLinux() && Run("mount", "-t", "tmpfs", "-o", $"size={size}", "tmpfs", path) ? new(path) : null;
    }

    public void Dispose() => Run("umount", "-l", Path);

    private static bool Run(string command, params string[] arguments)
    {
        try
        {
            using var process = Process.Start(new ProcessStartInfo(command, arguments) { RedirectStandardError = true });
            if (process is null) return false;
            process.StandardError.ReadToEnd();
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;
        }
    }
}
