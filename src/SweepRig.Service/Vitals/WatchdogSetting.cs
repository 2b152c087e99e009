using System.Globalization;

namespace SweepRig.Service.Vitals;

/// <summary>How often the service proves to live. systemd says how long it waits: sd_watchdog_enabled(3).</summary>
/// <param name="Every">Between two proofs.</param>
/// <param name="IsWatched">A supervisor waits for them.</param>
public sealed record WatchdogSetting(TimeSpan Every, bool IsWatched)
{
    private static readonly TimeSpan Unwatched = TimeSpan.FromSeconds(5);

    /// <summary>The manual asks for half; a quarter leaves room for one that comes late on a busy machine.</summary>
    private const int Share = 4;

    /// <summary>How long a part may take to answer.</summary>
    public TimeSpan Patience => Every * 0.8;

    public static WatchdogSetting Read(Func<string, string?> variable, int processId)
    {
        if (!long.TryParse(variable("WATCHDOG_USEC"), NumberStyles.None, CultureInfo.InvariantCulture, out var microseconds) || microseconds <= 0) return new(Unwatched, false);
        // Meant for another process, from which this one has its environment.
        if (variable("WATCHDOG_PID") is { Length: > 0 } pid && pid != processId.ToString(CultureInfo.InvariantCulture)) return new(Unwatched, false);
        return new(TimeSpan.FromMicroseconds(microseconds) / Share, true);
    }
}
