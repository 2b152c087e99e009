using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>One event of a message, and how many more of its kind at its rig came after it.</summary>
public sealed record AlarmLine(BenchEvent Event, int More);

/// <summary>What is brought along one way.</summary>
/// <param name="Id">The same at each attempt, so that a receiver can tell a repeated one.</param>
/// <param name="Trial">Sent to try the way; nothing happened.</param>
public sealed record AlarmMessage(Guid Id, DateTimeOffset Utc, IReadOnlyList<AlarmLine> Lines, bool Trial = false)
{
    private static readonly JsonSerializerOptions Json = new() { PropertyNamingPolicy = JsonNamingPolicy.CamelCase, DefaultIgnoreCondition = JsonIgnoreCondition.Never };

    public EventSeverity Severity => Lines.Max(l => l.Event.Severity);

    /// <summary>One line; the worst first.</summary>
    public string Subject
    {
        get
        {
            var worst = Lines.MaxBy(l => l.Event.Severity)!;
            var others = Lines.Sum(l => 1 + l.More) - 1;
            var text = $"{(Trial ? "trial" : BenchViews.Word(worst.Event.Severity))}{(worst.Event.Rig is { } rig ? $" at {rig}" : "")}: {worst.Event.Text}{(others > 0 ? $" And {others} more." : "")}";
            return text.Length <= 180 ? text : text[..177] + "...";
        }
    }

    /// <summary>For people, one paragraph an event.</summary>
    public string Text()
    {
        var lines = new List<string>();
        foreach (var (one, more) in Lines)
        {
            var where = string.Join(", ", new[] { one.Rig, one.Job is { } job ? $"job {job}" : null, one.Tube, one.RunId is { } run ? $"run {run}" : null }.OfType<string>());
            lines.Add($"{one.Utc.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC  {BenchViews.Word(one.Severity)}{(where.Length > 0 ? $"  ({where})" : "")}");
            lines.Add(one.Text);
            if (one.Remedy.Length > 0) lines.Add("What to do: " + one.Remedy);
            if (more > 0) lines.Add($"{more} more of this kind came until this was sent; sweeprig events lists them.");
            lines.Add("");
        }
        lines.Add($"Sent by SweepRig on {Environment.MachineName}. The interlocks do not wait for anybody: a rig that tripped is safe already.");
        return string.Join("\r\n", lines) + "\r\n";
    }

    /// <summary>For programs.</summary>
    public byte[] Body() => JsonSerializer.SerializeToUtf8Bytes(
        new
        {
            Id = Id.ToString("N"),
            Utc = BenchViews.Utc(Utc),
            Bench = Environment.MachineName,
            Severity = BenchViews.Word(Severity),
            Subject,
            Trial,
            Events = Lines.Select(l => new
            {
                Utc = BenchViews.Utc(l.Event.Utc), l.Event.Rig, Severity = BenchViews.Word(l.Event.Severity), Kind = BenchViews.Word(l.Event.Kind), l.Event.Text, l.Event.Remedy, l.Event.RunId, l.Event.Tube, l.Event.Job, l.More,
            }),
        },
        Json);

    public static AlarmMessage Trying(DateTimeOffset now) => new(
        Guid.CreateVersion7(now), now, [new(BenchEvent.Of(now, null, EventSeverity.Note, EventKind.Trial, "This is a trial of an alarm; nothing has happened.", "Nothing. If you can read this, the way works."), 0)], Trial: true);
}
