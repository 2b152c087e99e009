using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Sweeps.Queue;

/// <summary>Walks the document of a night. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class NightReader
{
    public const int MostSockets = 8, MostJobs = 2_000, LongestName = 40, LongestText = 80;
    public const string LimitsKey = "limits";
    private const double MostHeaterHours = 24, MostCoulombs = 100;
    private const int MostAcknowledgements = 1_000, MostAttempts = 20;

    private static readonly string[] LimitKeys = ["heaterHours", "positiveMillicoulombs", "acknowledgements", "attempts"];

    /// <returns>The order, or null when faults were added.</returns>
    public static NightOrder? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(element, "", faults, "format", "name", "timeZone", "window", "sockets", "jobs", LimitsKey, "permit", "goesOnAfterRestart", "mayBeCutShort");
        if (root is null) return null;
        _ = root.Word("format", NightDocument.Format);
        var name = root.Line("name", LongestText);
        var zone = Zone(root);
        var window = Window(root, needed: true);
        var sockets = Sockets(root);
        var limits = root.Object(LimitsKey, false, LimitKeys) is { } some ? Limits(some) : NightLimits.Default;
        var permit = Permit(root);
        var jobs = NightJobReader.Read(root, element, faults);
        if (root.Has("jobs") && jobs.Count == 0 && faults.Count == 0) root.Fault("no-jobs", "jobs", "the list of jobs is empty", "at least one job is needed", "Add one, for example { \"name\": \"sweeps\", \"do\": \"sweep\", \"plan\": \"gentle-pentode\" }.");
        if (!root.Has("jobs")) root.Fault("missing-key", "jobs", "the key \"jobs\" is missing", "a list of jobs is needed", "Add \"jobs\".");
        NightContradictions.Find(jobs, sockets, window, permit, faults);
        if (faults.Count > 0) return null;
        return new(name!, zone!, window!, sockets, jobs, limits, permit)
        {
            GoesOnAfterRestart = !root.Has("goesOnAfterRestart") || root.Flag("goesOnAfterRestart"),
            MayBeCutShort = root.Flag("mayBeCutShort"),
        };
    }

    /// <summary>A window of local times of day.</summary>
    public static DayWindow? Window(ObjectReader parent, bool needed)
    {
        if (parent.Object("window", needed, "from", "to") is not { } window) return null;
        var (from, to) = (window.TimeOfDay("from", "21:30"), window.TimeOfDay("to", "06:30"));
        if (from is null || to is null) return null;
        if (from != to) return new(from.Value, to.Value);
        window.Fault("empty-window", "to", $"the window is from {from:HH\\:mm} to {to:HH\\:mm}", "it must end at another time of day than it begins", "Write when it ends, or leave the window out.");
        return null;
    }

    private static string? Zone(ObjectReader root)
    {
        if (root.Line("timeZone", LongestText) is not { } name) return null;
        if (TimeZoneInfo.TryFindSystemTimeZoneById(name, out var zone) && zone.HasIanaId) return name;
        root.Fault("zone-unknown", "timeZone", $"the time zone is \"{name}\"", "a name of the IANA time-zone data that this computer has is needed", "Write for example \"Europe/Oslo\" or \"Etc/UTC\"; if none is known here, install the package tzdata.");
        return null;
    }

    private static List<SeatOrder> Sockets(ObjectReader root)
    {
        var seats = new List<SeatOrder>();
        if (!root.Has("sockets")) root.Fault("missing-key", "sockets", "the key \"sockets\" is missing", "what is in which socket is needed, for nobody plugs at night", "Add \"sockets\": [{ \"socket\": 0, \"tube\": \"SKUA-014\" }].");
        foreach (var item in root.Objects("sockets", MostSockets, "socket", "tube", "type", "lot"))
        {
            var socket = item.Whole("socket", 0, MostSockets - 1, "");
            var label = item.Line("tube", LongestText);
            var type = item.Has("type") ? item.Line("type", LongestText) : null;
            var lot = item.Has("lot") ? item.Line("lot", LongestText) : null;
            if (socket is null || label is null) continue;
            label = label.Trim().ToUpperInvariant();
            if (seats.Find(s => s.Socket == socket) is { } taken)
                item.Fault("socket-twice", "socket", $"socket {socket} has {label}", $"{taken.Label} is stated to be in it", "State one tube for each socket.");
            else if (seats.Find(s => s.Label == label) is { } other)
                item.Fault("tube-in-two-sockets", "tube", $"{label} is in socket {socket}", $"it is stated to be in socket {other.Socket}", "Read both numbers again; two sections of one tube are told apart as SKUA-014/1 and SKUA-014/2.");
            else seats.Add(new(socket.Value, label, type?.Trim(), lot?.Trim()));
        }
        if (root.Has("sockets") && seats.Count == 0) root.Fault("no-sockets", "sockets", "no tube is in a socket", "at least one is needed, for nobody plugs at night", "State what is in which socket.");
        return seats;
    }

    /// <returns>What the element of that key says; null when there are faults.</returns>
    public static NightLimits? Limits(JsonElement element)
    {
        var faults = new List<Refusal>();
        var limits = ObjectReader.Open(element, LimitsKey, faults, LimitKeys) is { } reader ? Limits(reader) : null;
        return faults.Count > 0 ? null : limits;
    }

    private static NightLimits Limits(ObjectReader limits)
    {
        var hours = limits.Has("heaterHours") ? limits.Number("heaterHours", 0.01, MostHeaterHours, "h") : null;
        var charge = limits.Has("positiveMillicoulombs") ? limits.Number("positiveMillicoulombs", 0, MostCoulombs * 1e3, "mC") : null;
        var releases = limits.Whole("acknowledgements", 0, MostAcknowledgements, "releases", otherwise: NightLimits.DefaultAcknowledgements);
        var attempts = limits.Whole("attempts", 1, MostAttempts, "attempts", otherwise: NightLimits.DefaultAttempts);
        return new(hours is { } h ? TimeSpan.FromHours(h) : null, charge * 1e-3, releases ?? 0, attempts ?? 1);
    }

    private static NightPermit? Permit(ObjectReader root)
    {
        if (root.Object("permit", false, "ceilingVolts", "reason") is not { } permit) return null;
        var ceiling = permit.Number("ceilingVolts", 0.1, PlanLimits.MaxDriveVolts, "V");
        var reason = permit.Line("reason", LongestText);
        return ceiling is null || reason is null ? null : new(new(ceiling.Value), reason);
    }
}
