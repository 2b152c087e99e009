using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Where alarms go, as a JSON document with the unit in each key, in the data directory. It is only ever changed by a file on this machine: whoever could change it from elsewhere could
/// silence the bench, or have it run a program.
/// </summary>
public static class AlarmDocument
{
    public const string FileName = "alarms.json";

    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "alarms/1";

    private const int MaxCharacters = 65_536;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(AlarmDocument), "SweepRig.Service.Watching.alarms.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document. What one value demands of another only <see cref="Parse"/> knows.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <summary>A document to begin with.</summary>
    public const string Example = """
        {
          "format": "alarms/1",
          "ways": [
            { "name": "phone", "webhook": { "url": "https://alerts.museum.example/sweeprig", "secretFile": "/etc/sweeprig/webhook-secret" } },
            { "name": "keepers", "mail": { "host": "mail.museum.example", "port": 587, "security": "starttls", "user": "sweeprig",
                "passwordFile": "/etc/sweeprig/mail-password", "from": "sweeprig@museum.example", "to": ["keepers@museum.example"] } },
            { "name": "bell", "command": { "program": "/usr/local/bin/ring", "arguments": ["--twice"] } }
          ],
          "rules": [
            { "least": "alarm", "to": ["phone", "bell"] },
            { "least": "warning", "kinds": ["rig-gone", "job-given-up", "drift"], "to": ["keepers"] }
          ],
          "mostPerHour": 12,
          "gatherMinutes": 10,
          "heartbeat": { "everySeconds": 60, "url": "https://alerts.museum.example/alive" },
          "report": { "at": "07:00", "timeZone": "Europe/Oslo", "to": ["keepers"] }
        }
        """;

    /// <returns>What it says, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<AlarmConfig> Parse(string json) =>
        DocumentText.Open(json, MaxCharacters, "the alarms of a bench", element => DocumentText.Read(element, "the alarms of a bench", AlarmReader.Read));

    /// <summary>What the file of a data directory says; nothing goes anywhere when there is none.</summary>
    public static Outcome<AlarmConfig> OfDirectory(string dataDirectory)
    {
        var path = Path.Combine(dataDirectory, FileName);
        try
        {
            return File.Exists(path) ? Parse(File.ReadAllText(path)) : Outcome<AlarmConfig>.Accept(AlarmConfig.None);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return Outcome<AlarmConfig>.Refuse(new Refusal("alarms-unreadable", "", path, $"it cannot be read: {fault.Message.TrimEnd('.')}", "Let the user of the service read it."));
        }
    }
}
