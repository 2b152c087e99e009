using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>The reference firmware, built once for each run of the tests by its own Makefile with Debian's gcc and gcc-avr.</summary>
internal static class FirmwareBuild
{
    private static readonly string s_sources = Path.Combine(Repository.Root, "firmware-notes", "reference");

    private static readonly Lazy<string> s_build = new(() =>
    {
        Run("make", "-C", s_sources);
        return Path.Combine(s_sources, "build");
    });

    public static string AvrHex => Path.Combine(s_build.Value, "atmega328p", "rig.hex");

    public static string AvrElf => Path.Combine(s_build.Value, "atmega328p", "rig.elf");

    public static string Host => Path.Combine(s_build.Value, "host", "rig-host");

    /// <summary>Runs a tool and returns what it printed.</summary>
    /// <exception cref="InvalidOperationException">It ended with an error, which is quoted.</exception>
    public static string Run(string tool, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(tool, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0
            ? output
            : throw new InvalidOperationException($"{tool} {string.Join(' ', arguments)} ended with {process.ExitCode}; tests/run installs what it needs.\n{error.Result}");
    }
}
