using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A night as it would go, for a terminal. Times are shown in the night's own zone.</summary>
public static class NightPlanText
{
    private const int UsuallyShown = 40, NarrowBar = 12, WideBar = 24, Wide = 100;

    public static IEnumerable<string> Summary(NightPlanView plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var zone = Zone(plan.TimeZone);
        var steps = plan.Steps.Length == 1 ? "1 step" : $"{plan.Steps.Length} steps";
        yield return $"{plan.Name}: {steps}, from {Clock(plan.OpensUtc, zone, withDay: true)} to {Clock(plan.Load.EndsUtc, zone, withDay: true)} of a night that closes at {Clock(plan.ClosesUtc, zone, withDay: true)} ({plan.TimeZone})";
        yield return $"heaters   on for {Span(plan.Load.HeaterSeconds)}{(plan.HeaterLimitSeconds is { } most ? $" of {Span(most)}" : "")}, {(plan.Load.HeaterAmps is { } amps ? $"{new Amps(amps)} ({new Watts(plan.Load.HeaterWatts!.Value)}) for all sockets; cold ones draw several times that for a moment" : "current not known: a type is not in the catalogue")}";
        yield return $"rail      at most {new Amps(plan.Load.RailAmps)}, {new Watts(plan.Load.RailWatts)}";
        yield return plan.PermitCeilingVolts is { } ceiling
            ? string.Create(CultureInfo.InvariantCulture, $"positive  up to {ceiling:0.###} V under the night's permit; at most {plan.Load.Millicoulombs:0.##} mC into grids{(plan.MillicoulombLimit is { } limit ? $" of {limit:0.##} mC" : "")}")
            : "positive  none: no drive above 0 V";
        if (plan.NotReached.Length > 0) yield return $"not reached: {plan.NotReached.Length}, see sweeprig night plan";
    }

    /// <param name="all">Every step, however many.</param>
    /// <param name="width">Columns there are.</param>
    public static IEnumerable<string> Lines(NightPlanView plan, Ink ink, bool all, int width)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var zone = Zone(plan.TimeZone);
        foreach (var line in Summary(plan)) yield return line;
        yield return "";
        var (opens, closes) = (Time(plan.OpensUtc), Time(plan.ClosesUtc));
        var table = new TextTable(("begins", false), ("ends", false), ("takes", true), ("", false), ("job", false), ("tube", false));
        var shown = all ? plan.Steps : [.. plan.Steps.Take(UsuallyShown)];
        foreach (var step in shown)
        {
            table.Row(Clock(step.BeginsUtc, zone), Clock(step.EndsUtc, zone), Span((Time(step.EndsUtc) - Time(step.BeginsUtc)).TotalSeconds), Bar(Time(step.BeginsUtc), Time(step.EndsUtc), opens, closes, width < Wide ? NarrowBar : WideBar),
                $"{step.Job}{(step.Turn > 0 ? string.Create(CultureInfo.InvariantCulture, $" {step.Turn + 1}") : "")}{(step.HighestDriveVolts > 0 ? string.Create(CultureInfo.InvariantCulture, $" +{step.HighestDriveVolts:0.#} V") : "")}", string.Create(CultureInfo.InvariantCulture, $"{step.Tube} in {step.Socket}"));
        }
        foreach (var line in table.Lines(ink)) yield return line;
        if (shown.Length < plan.Steps.Length) yield return $"and {plan.Steps.Length - shown.Length} more: --all";
        if (plan.NotReached.Length == 0) yield break;
        yield return "";
        yield return ink.Strong("not reached");
        foreach (var step in all ? plan.NotReached : [.. plan.NotReached.Take(UsuallyShown)]) yield return string.Create(CultureInfo.InvariantCulture, $"{step.Job}{(step.Turn > 0 ? $" {step.Turn + 1}" : "")} on {step.Tube}: {step.Why}");
    }

    /// <summary>Where in the night a step lies.</summary>
    private static string Bar(DateTimeOffset begins, DateTimeOffset ends, DateTimeOffset opens, DateTimeOffset closes, int width)
    {
        var night = (closes - opens).TotalSeconds;
        var first = Math.Clamp((int)((begins - opens).TotalSeconds / night * width), 0, width - 1);
        var last = Math.Clamp((int)Math.Ceiling((ends - opens).TotalSeconds / night * width), first + 1, width);
        return $"{new string('.', first)}{new string('#', last - first)}{new string('.', width - last)}";
    }

    public static string Span(double seconds)
    {
        var time = TimeSpan.FromSeconds(Math.Round(seconds));
        return time.TotalHours >= 1 ? string.Create(CultureInfo.InvariantCulture, $"{(int)time.TotalHours} h {time.Minutes:00} min") : time.TotalMinutes >= 1 ? $"{time.Minutes} min {time.Seconds:00} s" : $"{time.Seconds} s";
    }

    public static string Clock(string utc, TimeZoneInfo zone, bool withDay = false) => TimeZoneInfo.ConvertTime(Time(utc), zone).ToString(withDay ? "ddd d MMM HH:mm" : "HH:mm:ss", CultureInfo.InvariantCulture);

    public static TimeZoneInfo Zone(string name) => TimeZoneInfo.TryFindSystemTimeZoneById(name, out var zone) ? zone : TimeZoneInfo.Utc;

    private static DateTimeOffset Time(string utc) => DateTimeOffset.Parse(utc, CultureInfo.InvariantCulture);
}
