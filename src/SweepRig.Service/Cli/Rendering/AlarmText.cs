using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Where alarms go and what became of them, for a terminal.</summary>
public static class AlarmText
{
    public static IEnumerable<string> Checked(AlarmConfig config, string directory, IReadOnlyList<string> doubts, Ink ink)
    {
        if (config.Ways.Count == 0)
        {
            yield return $"No alarm goes anywhere: {Path.Combine(directory, AlarmDocument.FileName)} names no way, or is not there. Begin with sweeprig alarms example.";
        }
        else
        {
            var table = new TextTable(("way", false), ("kind", false), ("where", false), ("signed or signed in", false));
            foreach (var way in config.Ways)
                table.Row(way.Name, way.Kind, way.Where, way switch { AlarmWay.Webhook { Secret: not null } => "signed", AlarmWay.Mail { User: { } user } => $"as {user}", _ => "no" });
            foreach (var line in table.Lines(ink)) yield return line;
        }
        foreach (var rule in config.Rules)
        {
            var what = rule.Kinds.Count == 0 ? "everything" : string.Join(", ", rule.Kinds.Select(BenchViews.Word));
            yield return $"To {string.Join(", ", rule.To)}: {what} that is {BenchViews.Word(rule.Least)} or worse{(rule.Rigs.Count == 0 ? "" : $", of {string.Join(", ", rule.Rigs)}")}.";
        }
        if (config.Ways.Count > 0) yield return string.Create(CultureInfo.InvariantCulture, $"The first of a kind at once, more of it gathered for {config.Gather.TotalMinutes:0.#} min; at most {config.MostPerHour} messages an hour and way.");
        if (config.Heartbeat is { } beat) yield return string.Create(CultureInfo.InvariantCulture, $"A sign of life every {beat.Every.TotalSeconds:0} s to {string.Join(" and ", new[] { beat.Url?.Host, beat.File }.OfType<string>())}. A dead machine raises no alarm: whoever gets it must, when it stays away.");
        else yield return "No sign of life is sent: of a machine that is dead nobody would learn. See heartbeat in sweeprig alarms example.";
        if (config.Report is { } report) yield return $"The morning report at {report.At:HH\\:mm} ({report.Zone.Id}){(report.To.Count == 0 ? "" : $", mailed to {string.Join(", ", report.To)}")}.";
        foreach (var doubt in doubts) yield return ink.Alarm("Will not work: ") + doubt;
    }

    public static IEnumerable<string> Listed(AlarmStatusView view, Ink ink)
    {
        foreach (var fault in view.Faults) yield return ink.Alarm("No alarm goes anywhere: ") + fault;
        if (view.Waiting.Length + view.Done.Length == 0) yield return "No alarm was sent yet.";
        foreach (var one in view.Waiting)
            yield return $"{Time(one.SinceUtc)}  {one.Way}  waits{(one.Tries == 0 ? "" : $", failed {one.Tries} {(one.Tries == 1 ? "time" : "times")}: {one.Fault}")}: {one.Subject}";
        foreach (var one in view.Done)
            yield return $"{Time(one.SentUtc)}  {one.Way}  {(one.Fault is null ? "delivered" : ink.Alarm("not delivered") + $", {one.Fault}")}: {one.Subject}";
        if (view.Waiting.Length + view.Done.Length > 0) yield return ink.Faint("Times are UTC.");
    }

    private static string Time(string utc) => $"{utc[..10]} {utc[11..19]}";
}
