using System.Text;

namespace SweepRig.Service.Hosting.Systemd;

/// <summary>What a Linux system is told about the service: the unit of systemd and the rule of udev. Carried inside this assembly.</summary>
public static class SystemFiles
{
    /// <param name="executable">Full path of the program.</param>
    /// <param name="arguments">Of <c>serve</c>, in order; each is quoted as systemd.service(5), "Command lines", asks.</param>
    /// <param name="user">Who it runs as.</param>
    public static string Unit(string executable, IReadOnlyList<string> arguments, string user) => Read("sweeprig.service")
        .Replace("@EXECUTABLE@", Quoted(executable), StringComparison.Ordinal)
        .Replace("@ARGUMENTS@", string.Concat(arguments.Select(a => " " + Quoted(a))), StringComparison.Ordinal)
        .Replace("@USER@", user, StringComparison.Ordinal);

    /// <param name="serial">Of one adapter; null for all that have one.</param>
    public static string UdevRule(string? serial) => Read("70-sweeprig.rules")
        .Replace("@WHICH@", serial is null ? "" : $" ({serial})", StringComparison.Ordinal)
        .Replace("@SERIAL@", serial ?? "?*", StringComparison.Ordinal);

    private static string Quoted(string word)
    {
        var escaped = word.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal).Replace("%", "%%", StringComparison.Ordinal).Replace("$", "$$", StringComparison.Ordinal);
        return escaped.Any(char.IsWhiteSpace) || escaped != word ? $"\"{escaped}\"" : word;
    }

    private static string Read(string name)
    {
        using var stream = typeof(SystemFiles).Assembly.GetManifestResourceStream($"SweepRig.Service.Hosting.Systemd.{name}")
            ?? throw new InvalidOperationException($"SweepRig bug: {name} is not in the assembly.");
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
