using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Where a night stands, for a terminal. What needs a person comes first.</summary>
public static class NightStateText
{
    public static IEnumerable<string> Lines(NightView night, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(night);
        var zone = NightPlanText.Zone(night.TimeZone);
        yield return $"{ink.Strong(night.Name)} on {night.Rig}: {night.State}{(night.State == "over" ? $", {night.OverBecause}" : $", {night.Doing}")}";
        // A step under way is done to its end first.
        var then = night.State == "working" ? "after this step it " : "";
        if (night.Held is { } held) yield return night.NeedsPerson ? ink.Alarm($"{then}waits for you: {held}. Look, acknowledge a trip, then sweeprig night go-on.") : $"{then}{(then.Length > 0 ? "is held" : "held")}: {held}; goes on by itself";
        if (night.WakesUtc is { } wakes && night.State != "over") yield return $"until {NightPlanText.Clock(wakes, zone)}";
        if (night.EndsUtc is { } ends) yield return $"window {night.Window} {night.TimeZone}, closes {NightPlanText.Clock(ends, zone, withDay: true)}{(night.TakenUp > 0 ? string.Create(CultureInfo.InvariantCulture, $"; taken up again {night.TakenUp} times") : "")}";
        yield return string.Create(CultureInfo.InvariantCulture, $"used: heaters {NightPlanText.Span(night.Use.HeaterSeconds)}{(night.Use.HeaterLimitSeconds is { } most ? $" of {NightPlanText.Span(most)}" : "")}, grids {night.Use.Millicoulombs:0.###} mC{(night.Use.MillicoulombLimit is { } limit ? $" of {limit:0.##} mC" : "")}, trips released {night.Use.Acknowledgements} of {night.Use.AcknowledgementLimit}");
        yield return "";
        var jobs = new TextTable(("job", false), ("does", false), ("steps", true), ("passed", true), ("failed", true), ("skipped", true), ("not reached", true), ("left", true));
        foreach (var job in night.Jobs) jobs.Row(job.Name, job.Do, Text(job.Steps), Text(job.Passed), Text(job.Failed), Text(job.Skipped), Text(job.NotReached), Text(job.Waiting + job.Running));
        foreach (var line in jobs.Lines(ink)) yield return line;
        foreach (var seat in night.Sockets.Where(s => s.Out is not null)) yield return string.Create(CultureInfo.InvariantCulture, $"socket {seat.Socket}, {seat.Tube}: left alone, {seat.Out}");
        if (night.Latest.Length == 0) yield break;
        yield return "";
        foreach (var step in night.Latest.Reverse()) yield return $"{(step.EndedUtc is { } at ? NightPlanText.Clock(at, zone) : "        ")}  {Step(step)}";
    }

    /// <summary>One line of a step.</summary>
    public static string Step(NightStepView step)
    {
        ArgumentNullException.ThrowIfNull(step);
        return string.Create(CultureInfo.InvariantCulture, $"{step.State,-11}  {step.Job}{(step.Turn > 0 ? $" {step.Turn + 1}" : "")} on {step.Tube}: {step.Verdict}");
    }

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
