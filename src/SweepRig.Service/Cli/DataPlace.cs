using SweepRig.Service.Cli.Parsing;

namespace SweepRig.Service.Cli;

/// <summary>Which data directory a command works on.</summary>
public static class DataPlace
{
    /// <param name="asked">As given on the command line; null for the usual one.</param>
    public static string Of(string? asked, Func<string, string?> variable)
    {
        if (asked is { Length: > 0 }) return Path.GetFullPath(asked);
        if (variable(SharedOptions.DataVariable) is { Length: > 0 } set) return Path.GetFullPath(set);
        // On Unix this is $XDG_DATA_HOME, else ~/.local/share (XDG Base Directory Specification).
        return Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.DoNotVerify), "sweeprig");
    }
}
