using System.Globalization;

namespace SweepRig.Service.Doctor;

public static class MemoryChecks
{
    // Common practice, no source: the service and its page need some 200 MB.
    private const long Little = 256, None = 64;

    /// <param name="serviceId">Process of the running service; null for none.</param>
    public static IEnumerable<Finding> Of(IMachine machine, int? serviceId)
    {
        // proc(5): /proc/meminfo and VmRSS in KiB.
        if (Field(machine.Read("/proc/meminfo"), "MemAvailable") is not { } available) yield break;
        var total = Field(machine.Read("/proc/meminfo"), "MemTotal") ?? 0;
        var own = serviceId is { } id && Field(machine.Read($"/proc/{id}/status"), "VmRSS") is { } resident ? $"; the service holds {resident} MiB" : "";
        var found = $"{available} of {total} MiB available{own}";
        yield return available >= Little ? Finding.Good("memory", found)
            : new("memory", available < None ? Verdict.Bad : Verdict.Look, $"only {found}", "End what else runs on this computer; Linux ends the largest process when memory is gone.");
    }

    /// <returns>MiB.</returns>
    private static long? Field(string? text, string name) =>
        text?.Split('\n').FirstOrDefault(l => l.StartsWith(name + ":", StringComparison.Ordinal))?.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries) is [_, var kibibytes, ..]
        && long.TryParse(kibibytes, NumberStyles.None, CultureInfo.InvariantCulture, out var value)
            ? value / 1024
            : null;
}
