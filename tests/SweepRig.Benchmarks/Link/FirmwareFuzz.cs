using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.Link;

/// <summary>The firmware's frame reader under libFuzzer with address and undefined-behaviour sanitizers, built by <c>make fuzz</c>.</summary>
internal static class FirmwareFuzz
{
    private const string Directory = "firmware-notes/reference";

    public static async Task<(bool Passed, string Told)> RunAsync(long inputs)
    {
        if (await TryAsync("clang", "--version") is not (0, _))
            return (false, "clang is not installed; it brings libFuzzer. Install the Debian package: apt-get install clang");
        var (built, said) = await TryAsync("make", "-C", Path.Combine(Repository.Root, Directory), "fuzz", $"FUZZ_RUNS={inputs}");
        // libFuzzer sums up in lines such as "Done 10000000 runs in 61 second(s)"; a crash or a finding of a sanitizer ends make with an error.
        var done = said.Split('\n').LastOrDefault(line => line.StartsWith("Done ", StringComparison.Ordinal));
        return built == 0 && done?.StartsWith($"Done {inputs} runs", StringComparison.Ordinal) == true
            ? (true, done.TrimEnd('.'))
            : (false, $"make fuzz ended with {built}: {string.Join(" / ", said.Split('\n', StringSplitOptions.RemoveEmptyEntries).TakeLast(5))}");
    }

    private static async Task<(int Exit, string Said)> TryAsync(string program, params string[] arguments)
    {
        try
        {
            using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            var output = process.StandardOutput.ReadToEndAsync();
            var error = process.StandardError.ReadToEndAsync();
            await process.WaitForExitAsync();
            return (process.ExitCode, await output + await error);
        }
        catch (System.ComponentModel.Win32Exception e)
        {
            return (-1, e.Message);
        }
    }
}
