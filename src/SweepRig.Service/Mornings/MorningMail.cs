using System.Globalization;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Mornings;

/// <summary>The first page of a morning report as the text of a mail, for a telephone that opens no attachment. Pure.</summary>
public static class MorningMail
{
    private const int MostListed = 12;

    public static string Text(MorningView morning)
    {
        ArgumentNullException.ThrowIfNull(morning);
        var lines = new List<string> { morning.Headline, "" };
        lines.AddRange(morning.Now.Select(r => $"{r.Rig}: {r.Text}"));
        lines.AddRange(["", "What to do first:"]);
        lines.AddRange(morning.First.Take(MostListed).Select((f, i) => string.Create(CultureInfo.InvariantCulture, $"{i + 1}. {f.Severity}: {f.Text}{(f.Count > 1 ? $" ({f.Count} times)" : "")} {f.Remedy}")));
        if (morning.First.Length == 0) lines.Add("Nothing: no warning and no alarm.");
        lines.AddRange(["", string.Create(CultureInfo.InvariantCulture, $"{morning.Work.Sum(w => w.Runs)} runs, {morning.Trips.Length} trips, {morning.Drifts.Where(d => d.HasChanged).DistinctBy(d => d.Tube).Count()} tubes changed, {morning.Skipped.Length} left out. More in the attached report.")]);
        return string.Join("\r\n", lines) + "\r\n";
    }
}
