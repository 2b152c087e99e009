using System.Globalization;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Mornings;

/// <summary>The morning report: whoever has read its first lines knows the state of the bench and what to do first. Pure.</summary>
public static class MorningReport
{
    private const int MostListed = 40;

    /// <param name="zone">In which times are written.</param>
    public static Report Of(MorningView morning, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(morning);
        ArgumentNullException.ThrowIfNull(zone);
        var times = new Times(zone);
        return new(
            "Morning report",
            morning.Headline,
            [
                Now(morning),
                First(morning, times),
                .. morning.Nights.Select(n => Night(n, times)),
                Work(morning),
                Trips(morning, times),
                Drifts(morning),
                .. morning.Skipped.Length == 0 ? [] : (ReportSection[])[Skipped(morning)],
                Alarms(morning, times),
                Kinds(morning),
            ],
            $"SweepRig {BenchServices.SoftwareVersion} · {times.Day(morning.FromUtc)} {times.Minute(morning.FromUtc)} to {times.Day(morning.UntilUtc)} {times.Minute(morning.UntilUtc)} · times are {zone.Id} · made {times.Day(morning.MadeUtc)} {times.Minute(morning.MadeUtc)}");
    }

    private static ReportSection Now(MorningView morning) => new(
        "The bench now", [], morning.Now.Length == 0 ? [] : [new("", [], [.. morning.Now.Select(r => (string[])[r.Rig, r.Text + (r.Remedy.Length > 0 ? $". What to do: {r.Remedy}" : "")])])], []);

    private static ReportSection First(MorningView morning, Times times)
    {
        var listed = morning.First.Take(12).Select((f, i) => (string[])[
            string.Create(CultureInfo.InvariantCulture, $"{i + 1}. {f.Severity}"),
            $"{(f.Rig is { } rig && !f.Text.StartsWith(rig, StringComparison.Ordinal) ? rig + ": " : "")}{f.Text}{(f.Count > 1 ? $" ({f.Count} times, last at {times.Minute(f.LastUtc)})" : f.LastUtc.Length > 0 ? $" ({times.Minute(f.LastUtc)})" : "")} {f.Remedy}"]).ToArray();
        return new("What to do first", [], listed.Length == 0 ? [] : [new("", [], listed)],
            listed.Length == 0 ? ["Nothing: no warning and no alarm."] : morning.First.Length > listed.Length ? [$"And {morning.First.Length - listed.Length} more: sweeprig events --least warning."] : []);
    }

    private static ReportSection Night(MorningNightView night, Times times) => new(
        $"Night {night.Name}, {night.Rig}", [],
        [
            new("Predicted and happened", ["job", "predicted", "happened", "steps", "done", "failed", "left out", "not reached"],
                [.. night.Jobs.Select(j => (string[])[j.Job, times.Range(j.PredictedBeginUtc, j.PredictedEndUtc), times.Range(j.BeganUtc, j.EndedUtc), Number(j.Steps), Number(j.Passed), Number(j.Failed), Number(j.Skipped), Number(j.NotReached)])]) { Words = 3 },
            .. Limits(night),
        ],
        [])
    {
        Lead = [$"Begun {times.Minute(night.BegunUtc)}, {(night.EndedUtc is { } ended ? $"ended {times.Minute(ended)}: {night.EndedBecause}" : "still running")}"],
    };

    private static IEnumerable<ReportTable> Limits(MorningNightView night)
    {
        var rows = new List<string[]>();
        if (night.HeaterSeconds is { } heater) rows.Add(["heater time", $"{Hours(heater)} h{(night.HeaterLimitSeconds is { } limit ? $" of {Hours(limit)} h" : ", no limit stated")}"]);
        if (night.Millicoulombs is { } charge) rows.Add(["charge into grids", string.Create(CultureInfo.InvariantCulture, $"{charge:0.###} mC{(night.MillicoulombLimit is { } most ? string.Create(CultureInfo.InvariantCulture, $" of {most:0.###} mC") : ", no limit stated")}")]);
        if (rows.Count > 0) yield return new("Limits used", [], rows);
    }

    private static ReportSection Work(MorningView morning) => morning.Work.Length == 0
        ? new("What ran", [], [], ["Nothing was swept in this time."])
        : new("What ran", [],
            [new("", ["rig", "runs", "complete", "stopped", "tripped", "incomplete", "tubes", "samples", "missing"],
                [.. morning.Work.Select(w => (string[])[w.Rig, Number(w.Runs), Number(w.Complete), Number(w.Stopped), Number(w.Tripped), Number(w.Incomplete), Number(w.Tubes), Number(w.Samples), Number(w.MissingPoints)])]) { Words = 1 }],
            []);

    private static ReportSection Trips(MorningView morning, Times times) => morning.Trips.Length == 0
        ? new("What tripped", [], [], ["Nothing."])
        : new("What tripped", [],
            [new("", [], [.. morning.Trips.Take(MostListed).Select(t => (string[])[times.Minute(t.Utc), $"{(t.Tube.Length > 0 ? $"{t.Tube} on {t.Rig}" : $"{t.Rig}, nothing was swept")}: {t.Text}. {t.Remedy}"])])],
            morning.Trips.Length > MostListed ? [$"And {morning.Trips.Length - MostListed} more."] : []);

    private static ReportSection Drifts(MorningView morning)
    {
        var changed = morning.Drifts.Where(d => d.HasChanged).ToList();
        var same = morning.Drifts.Length - changed.Count;
        var others = same == 0 ? morning.Drifts.Length == 0 ? "No tube was measured that had been measured before." : "" : $"{same} {(same == 1 ? "tube" : "tubes")} measured again did not change beyond uncertainty.";
        return new("What drifted", [], changed.Count == 0 ? [] : [new("", [], [.. changed.Take(MostListed).Select(d => (string[])[d.Tube, $"{d.Quantity}: {d.Text}"])])], [.. new[] { others }.Where(t => t.Length > 0), .. morning.Notes]);
    }

    private static ReportSection Skipped(MorningView morning) =>
        new("Tubes left out", [], [new("", [], [.. morning.Skipped.Take(MostListed).Select(s => (string[])[s.Tube ?? s.Job ?? "?", s.Why])])], morning.Skipped.Length > MostListed ? [$"And {morning.Skipped.Length - MostListed} more."] : []);

    private static ReportSection Alarms(MorningView morning, Times times)
    {
        var alarms = morning.Alarms;
        var failed = alarms.Done.Where(d => d.Fault is not null).Select(d => (string[])[times.Minute(d.SentUtc), $"{d.Way}, not delivered: {d.Fault}. It said: {d.Subject}"])
            .Concat(alarms.Waiting.Select(w => (string[])[times.Minute(w.SinceUtc), $"{w.Way}, still tried{(w.Fault is null ? "" : $": {w.Fault}")}. It says: {w.Subject}"])).ToList();
        var delivered = alarms.Done.Where(d => d.Fault is null).GroupBy(d => d.Way).Select(g => $"{g.Count()} by {g.Key}").ToList();
        string[] notes = alarms.Faults.Length > 0 ? alarms.Faults
            : alarms.Ways.Length == 0 ? ["No way is set up: see sweeprig alarms example."]
            : delivered.Count == 0 ? ["None was delivered."] : [$"Delivered: {string.Join(", ", delivered)}."];
        return new("Alarms", [], failed.Count == 0 ? [] : [new("", [], [.. failed.Take(MostListed)])], notes);
    }

    private static ReportSection Kinds(MorningView morning) => morning.Kinds.Length == 0
        ? new("Events", [], [], ["None."])
        : new("Events", [], [new("", ["what", "how bad", "rig", "times"], [.. morning.Kinds.Select(k => (string[])[k.Kind, k.Severity, k.Rig ?? "all", Number(k.Count)])]) { Words = 3 }], []);

    private static string Number(long value) => value.ToString(CultureInfo.InvariantCulture);

    private static string Hours(double seconds) => (seconds / 3600).ToString("0.0", CultureInfo.InvariantCulture);

    /// <summary>Times of the contract as people of a place read them.</summary>
    private sealed class Times(TimeZoneInfo zone)
    {
        public string Day(string utc) => At(utc).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

        public string Minute(string utc) => At(utc).ToString("HH:mm", CultureInfo.InvariantCulture);

        public string Range(string? from, string? to) => from is null ? "-" : $"{Minute(from)} to {(to is null ? "..." : Minute(to))}";

        private DateTimeOffset At(string utc) => TimeZoneInfo.ConvertTime(DateTimeOffset.Parse(utc, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal), zone);
    }
}
