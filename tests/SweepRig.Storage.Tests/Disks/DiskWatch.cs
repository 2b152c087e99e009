using System.Diagnostics;
using System.Runtime.InteropServices;

namespace SweepRig.Storage.Tests.Disks;

/// <summary>The library of diskwatch.c, built once, and processes of this executable that have it before the C library.</summary>
internal static partial class DiskWatch
{
    private static readonly Lazy<string> Built = new(Build);

    /// <summary>What LD_PRELOAD is to name.</summary>
    public static string Library => Built.Value;

    /// <summary>Runs this executable with an argument and a directory, to its end.</summary>
    /// <param name="log">Where changes and flushes are written down; null for nowhere.</param>
    /// <returns>What it wrote.</returns>
    public static async Task<string> RunAsync(string argument, string directory, string? log, CancellationToken cancellationToken)
    {
        var host = Environment.ProcessPath ?? throw new InvalidOperationException("No process path.");
        var start = new ProcessStartInfo(host) { RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false };
        if (Path.GetFileNameWithoutExtension(host) == "dotnet") start.ArgumentList.Add(typeof(DiskWatch).Assembly.Location);
        start.ArgumentList.Add(argument);
        start.ArgumentList.Add(directory);
        start.Environment["LD_PRELOAD"] = Library;
        if (log is not null) start.Environment["DISKWATCH_LOG"] = log;
        using var process = Process.Start(start)!;
        var (output, error) = (process.StandardOutput.ReadToEndAsync(cancellationToken), process.StandardError.ReadToEndAsync(cancellationToken));
        await process.WaitForExitAsync(cancellationToken);
        var (said, complained) = (await output, await error);
        return process.ExitCode == 0 ? said : throw new InvalidOperationException($"Exit code {process.ExitCode}: {complained} {said}");
    }

    /// <summary>In a process that was started by <see cref="RunAsync"/>: lets a call on a file of a store fail.</summary>
    /// <param name="after">Which one, from 1; 0 for none.</param>
    /// <param name="error">Number of the error, asm-generic/errno-base.h. 28 (no room) and 30 (read-only) stay, as on a real disk; 5 (input or output) happens once, also to reads.</param>
    public static void Fail(long after, int error) => Set(after, error);

    /// <summary>Whether that has come about.</summary>
    public static bool HasFailed => Fired() != 0;

    private static string Build()
    {
        var library = Path.Combine(Path.GetTempPath(), $"diskwatch-{Environment.ProcessId}.so");
        using var compiler = Process.Start("gcc", ["-shared", "-fPIC", "-O1", "-o", library, Path.Combine(AppContext.BaseDirectory, "Disks", "diskwatch.c"), "-ldl"]);
        compiler.WaitForExit();
        if (compiler.ExitCode != 0) throw new InvalidOperationException("gcc refused diskwatch.c.");
        AppDomain.CurrentDomain.ProcessExit += (_, _) => File.Delete(library);
        return library;
    }

    // Already in the process, so found among the symbols of the program itself.
    [LibraryImport("libc", EntryPoint = "dlsym", StringMarshalling = StringMarshalling.Utf8)]
    private static partial nint Symbol(nint handle, string name);

    private static unsafe void Set(long after, int error) => ((delegate* unmanaged<nint, int, void>)Found("diskwatch_fail"))((nint)after, error);

    private static unsafe int Fired() => ((delegate* unmanaged<int>)Found("diskwatch_fired"))();

    private static nint Found(string name) => Symbol(0, name) is var found and not 0 ? found : throw new InvalidOperationException($"{name} is not in this process.");
}
