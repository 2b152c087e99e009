using System.Diagnostics;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>A program run to its end, or to its limit of time.</summary>
internal static class Command
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);

    /// <returns>Whether it ended well within its time, and all that it said.</returns>
    public static Task<(bool Good, string Said)> RunAsync(string folder, string program, params string[] arguments) => RunAsync(Patience, folder, program, arguments);

    /// <param name="within">When it is ended and counts as failed.</param>
    public static async Task<(bool Good, string Said)> RunAsync(TimeSpan within, string folder, string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };
        using var process = Process.Start(start)!;
        using var limit = new CancellationTokenSource(within);
        var output = process.StandardOutput.ReadToEndAsync(limit.Token);
        var errors = process.StandardError.ReadToEndAsync(limit.Token);
        try
        {
            await process.WaitForExitAsync(limit.Token);
            return (process.ExitCode == 0, await output + await errors);
        }
        catch (OperationCanceledException)
        {
            // A protection taken out may leave a test waiting for ever, which is a failure too.
            process.Kill(entireProcessTree: true);
            return (false, "");
        }
    }
}
