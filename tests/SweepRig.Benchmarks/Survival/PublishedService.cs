using System.Diagnostics;
using System.Runtime.InteropServices;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.Survival;

/// <summary>The self-contained build that src/publish makes for this computer, unpacked as on a bench.</summary>
public sealed class PublishedService : IDisposable
{
    private readonly string _directory;

    private PublishedService(string directory, string executable, long packedBytes) => (_directory, Executable, PackedBytes) = (directory, executable, packedBytes);

    public string Executable { get; }

    public long PackedBytes { get; }

    public long Bytes => Directory.EnumerateFiles(Path.GetDirectoryName(Executable)!).Sum(f => new FileInfo(f).Length);

    /// <summary>
    /// Takes a minute or more, or SWEEPRIG_PUBLISHED=DIR takes what src/publish has left there. Without the page, which needs Node to be built and is not opened here.
    /// </summary>
    public static async Task<PublishedService> MakeAsync()
    {
        var platform = RuntimeInformation.OSArchitecture == Architecture.Arm64 ? "linux-arm64" : "linux-x64";
        var directory = Directory.CreateTempSubdirectory("sweeprig-published-").FullName;
        try
        {
            var made = Environment.GetEnvironmentVariable("SWEEPRIG_PUBLISHED");
            if (made is null) await RunAsync(platform, Path.Combine(Repository.Root, "src", "publish"), directory, "-p:BuildDashboard=false");
            var archive = Directory.EnumerateFiles(made ?? directory, $"*-{platform}.tar.gz").Single();
            await RunAsync(platform, "tar", "-C", directory, "-xzf", archive);
            return new(directory, Path.Combine(Directory.EnumerateDirectories(directory).Single(), "sweeprig"), new FileInfo(archive).Length);
        }
        catch
        {
            Directory.Delete(directory, recursive: true);
            throw;
        }
    }

    /// <returns>Exit code and time from start to end.</returns>
    public async Task<(int ExitCode, TimeSpan Took)> RunAsync(params string[] arguments)
    {
        var clock = Stopwatch.StartNew();
        var start = new ProcessStartInfo(Executable, arguments) { RedirectStandardOutput = true };
        using var process = Process.Start(start)!;
        await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();
        return (process.ExitCode, clock.Elapsed);
    }

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    private static async Task RunAsync(string platform, string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true };
        start.Environment["PLATFORMS"] = platform;
        using var process = Process.Start(start)!;
        var said = await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();
        if (process.ExitCode != 0) throw new InvalidOperationException($"{program} ended with {process.ExitCode}:\n{said}");
    }
}
