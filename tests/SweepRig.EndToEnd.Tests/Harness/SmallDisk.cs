using System.Diagnostics;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>A file system in memory with a fixed size, mounted at a directory. Needs root, or sudo without a password, as installing packages does.</summary>
public sealed class SmallDisk : IAsyncDisposable
{
    private readonly string _directory;

    private SmallDisk(string directory) => _directory = directory;

    public static async Task<SmallDisk> MountAsync(string directory, int kilobytes)
    {
        Directory.CreateDirectory(directory);
        await RunAsync("mount", "-t", "tmpfs", "-o", $"size={kilobytes}k,mode=0777", "tmpfs", directory);
        return new SmallDisk(directory);
    }

    public async ValueTask DisposeAsync() => await RunAsync("umount", _directory);

    private static async Task RunAsync(string command, params string[] arguments)
    {
        var start = Environment.IsPrivilegedProcess ? new ProcessStartInfo(command) : new ProcessStartInfo("sudo") { ArgumentList = { "-n", command } };
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        using var process = Process.Start(start)!;
        await process.WaitForExitAsync();
        if (process.ExitCode != 0) throw new InvalidOperationException($"{command} {string.Join(' ', arguments)} ended with {process.ExitCode}; it needs root.");
    }
}
