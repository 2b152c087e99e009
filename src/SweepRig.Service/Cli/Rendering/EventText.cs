using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Events for a terminal: when, how much it matters, where, what; below it what to do.</summary>
public static class EventText
{
    /// <param name="nothing">What is said when there are none.</param>
    public static IEnumerable<string> Lines(EventListView list, string nothing, Ink ink)
    {
        if (list.Events.Length == 0) yield return nothing;
        var words = list.Events.Select(e => e.Severity.Length).DefaultIfEmpty().Max();
        foreach (var one in list.Events)
        {
            var severity = one.Severity.PadRight(words);
            var where = string.Join(", ", new[] { one.Rig, one.Job, one.Tube }.OfType<string>());
            yield return $"{one.Utc[..10]} {one.Utc[11..19]}  {(one.Severity == "alarm" ? ink.Alarm(severity) : severity)}  {(where.Length > 0 ? where + ": " : "")}{one.Text}";
            if (one.Remedy.Length > 0 && one.Severity != "note") yield return "    " + ink.Faint(one.Remedy);
        }
        if (list.Events.Length > 0) yield return ink.Faint($"Times are UTC. {(list.OlderThan is null ? "" : "There are more; see --limit. ")}{Unseen(list.Unseen)}");
    }

    private static string Unseen(int count) => count switch
    {
        0 => "Every warning and alarm has been seen.",
        1 => "One warning or alarm has not been seen; --seen says that it has.",
        _ => $"{count} warnings and alarms have not been seen; --seen says that they have.",
    };
}
