using SweepRig.Domain;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;

namespace SweepRig.Service.Watching;

/// <summary>Severities and kinds of events as people write them.</summary>
public static class EventWords
{
    public static IReadOnlyList<string> Severities { get; } = [.. Enum.GetValues<EventSeverity>().Select(BenchViews.Word)];

    public static IReadOnlyList<string> Kinds { get; } = [.. Enum.GetValues<EventKind>().Select(BenchViews.Word)];

    public static EventSeverity? Severity(string word) => Find<EventSeverity>(word);

    public static EventKind? Kind(string word) => Find<EventKind>(word);

    public static Refusal BadSeverity(string path, string word) => new("severity-not-understood", path, $"\"{word}\"", string.Join(", ", Severities), "Name the least that matters; note leaves nothing out.");

    public static Refusal BadKind(string path, string word) => new("kind-not-understood", path, $"\"{word}\"", string.Join(", ", Kinds), "Name one of these, or leave it out for all.");

    private static T? Find<T>(string word)
        where T : struct, Enum
    {
        foreach (var value in Enum.GetValues<T>())
            if (BenchViews.Word(value) == word) return value;
        return null;
    }
}
