namespace SweepRig.Service.Nights;

/// <summary>A named night to start from.</summary>
/// <param name="Name">Kebab-case, for the command line.</param>
/// <param name="Explains">One sentence on what it is for.</param>
public sealed record NightExample(string Name, string Explains, string Document);

/// <summary>Nights for the tide-clock of a small maritime museum: four tubes of lot Skua in the sockets of one rig.</summary>
public static class NightExamples
{
    private const string Sockets = """
        "sockets": [
          { "socket": 0, "tube": "SKUA-014", "type": "6AU6" },
          { "socket": 1, "tube": "SKUA-020", "type": "6AU6" },
          { "socket": 2, "tube": "SKUA-031", "type": "6AU6" },
          { "socket": 3, "tube": "SKUA-032", "type": "6AU6" }
        ],
        """;

    public static NightExample Drift { get; } = new(
        "drift-overnight",
        "Screens four tubes from cold, then sweeps those that passed once an hour until the morning: who drifts.",
        $$"""
        {
          "format": "night/1",
          "name": "Skua: who drifts overnight",
          "timeZone": "Europe/Oslo",
          "window": { "from": "21:30", "to": "06:30" },
          {{Sockets}}
          "limits": { "heaterHours": 8 },
          "mayBeCutShort": true,
          "jobs": [
            { "name": "screen-all", "do": "screen", "plan": "gentle-pentode", "priority": 7 },
            { "name": "hourly", "do": "sweep", "plan": "gentle-pentode", "after": ["screen-all"], "ifPassed": true, "every": { "minutes": 60, "times": 6 } }
          ]
        }
        """);

    public static NightExample BothWays { get; } = new(
        "both-connections",
        "Sweeps each tube as pentode and as triode, far positive under a stated permit, and with the plate rail stepped.",
        $$"""
        {
          "format": "night/1",
          "name": "Skua: pentode and triode",
          "timeZone": "Europe/Oslo",
          "window": { "from": "21:30", "to": "06:30" },
          {{Sockets}}
          "limits": { "heaterHours": 4, "positiveMillicoulombs": 200 },
          "permit": { "ceilingVolts": 24, "reason": "fold-back of the whole lot" },
          "jobs": [
            { "name": "gentle", "do": "sweep", "plan": "gentle-pentode", "priority": 6 },
            { "name": "far-pentode", "do": "sweep", "plan": "far-positive-pentode", "after": ["gentle"], "ifPassed": true },
            { "name": "rail", "do": "family", "plan": "rail-family", "after": ["gentle"], "ifPassed": true, "window": { "from": "02:00", "to": "05:00" } }
          ]
        }
        """);

    public static NightExample HowFar { get; } = new(
        "how-far-positive",
        "How long each tube takes to get warm, how far its grid may go positive, and how it holds over hours of heat.",
        $$"""
        {
          "format": "night/1",
          "name": "Skua: how far positive",
          "timeZone": "Europe/Oslo",
          "window": { "from": "21:30", "to": "06:30" },
          {{Sockets}}
          "limits": { "heaterHours": 8, "positiveMillicoulombs": 250 },
          "permit": { "ceilingVolts": 24, "reason": "highest drive for the tide-clock's gates" },
          "jobs": [
            { "name": "warm-up", "do": "warm-up", "plan": "gentle-pentode" },
            { "name": "explore", "do": "explore", "plan": "gentle-pentode", "ceilingVolts": 24, "after": ["warm-up"], "ifPassed": true },
            { "name": "soak", "do": "soak", "plan": "gentle-pentode", "minutes": 60, "everyMinutes": 10, "after": ["explore"], "ifPassed": true }
          ]
        }
        """);

    public static IReadOnlyList<NightExample> All { get; } = [Drift, BothWays, HowFar];

    public static NightExample? Find(string name) => All.FirstOrDefault(e => string.Equals(e.Name, name, StringComparison.OrdinalIgnoreCase));
}
