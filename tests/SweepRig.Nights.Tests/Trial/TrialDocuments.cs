using System.Text.Json;
using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;

namespace SweepRig.Nights;

/// <summary>The documents of the nights: each hour its own jobs, mostly short sweeps, some of everything that a night can do.</summary>
internal static class TrialDocuments
{
    /// <summary>Local time at which the trial begins. The clocks of that night go back at 03:00.</summary>
    public const int FirstHour = 21;

    public const string TimeZone = "Europe/Oslo";

    /// <summary>A minute before the window opens: 20:59 summer time of the night in which it ends (IANA time zone database, Europe/Oslo: 2026-10-25 01:00 UTC).</summary>
    public static DateTimeOffset BeginsUtc { get; } = new(2026, 10, 24, 18, 59, 0, TimeSpan.Zero);

    /// <summary>Once a day a report, in the first hour.</summary>
    public static string Alarms => new JsonObject
    {
        ["format"] = "alarms/1",
        ["ways"] = new JsonArray(),
        ["report"] = new JsonObject { ["at"] = $"{FirstHour}:45", ["timeZone"] = TimeZone, ["to"] = new JsonArray() },
    }.ToJsonString();

    public static JsonElement Of(TrialPlan plan, int rig)
    {
        var random = new Random(plan.Seed * 101 + rig);
        var jobs = Enumerable.Range(0, plan.Hours).SelectMany(hour => Enumerable.Range(0, plan.JobsOfHour).Select(n => Job(hour, n, rig, plan, random)));
        return JsonSerializer.SerializeToElement(new JsonObject
        {
            ["format"] = "night/1",
            ["name"] = $"Trial of rig {rig + 1}",
            ["timeZone"] = TimeZone,
            ["window"] = Window(0, plan.Hours + 1),
            ["sockets"] = Array(Enumerable.Range(0, plan.Sockets).Select(s => new JsonObject { ["socket"] = s, ["tube"] = $"SKUA-{rig * plan.Sockets + s + 1:000}", ["type"] = "6AU6", ["lot"] = "Skua" })),
            ["permit"] = new JsonObject { ["ceilingVolts"] = 24, ["reason"] = "fold-back of the lot" },
            ["limits"] = new JsonObject { ["acknowledgements"] = 1000, ["attempts"] = 20 },
            ["mayBeCutShort"] = true,
            ["jobs"] = Array(jobs),
        });
    }

    private static JsonObject Job(int hour, int number, int rig, TrialPlan plan, Random random)
    {
        var job = Work(random.Next(200), random);
        job["name"] = $"h{hour}-{number}";
        job["sockets"] = new JsonArray(random.Next(plan.Sockets));
        job["window"] = Window(hour, hour + 1);
        job["priority"] = random.Next(1, 10);
        return job;
    }

    private static JsonObject Work(int kind, Random random) => kind switch
    {
        < 3 => new() { ["do"] = "screen", ["plan"] = "gentle-pentode" },
        < 5 => new() { ["do"] = "soak", ["plan"] = Sweep(PlanExamples.GentlePentode.Plan, random), ["minutes"] = 1, ["everyMinutes"] = 1 },
        < 8 => new() { ["do"] = "repeat", ["plan"] = Sweep(PlanExamples.GentlePentode.Plan, random), ["everyMinutes"] = 0.1, ["times"] = 3 },
        < 9 => new() { ["do"] = "warm-up", ["plan"] = "gentle-pentode", ["minutes"] = 1 },
        < 10 => new() { ["do"] = "explore", ["plan"] = "gentle-pentode", ["ceilingVolts"] = 3, ["stepVolts"] = 1 },
        < 11 => new() { ["do"] = "life", ["plan"] = Sweep(PlanExamples.GentlePentode.Plan, random), ["onMinutes"] = 0.5, ["offMinutes"] = 0.5, ["cycles"] = 1 },
        < 20 => new() { ["do"] = "family", ["plan"] = Sweep(PlanExamples.RailFamily.Plan, random) },
        < 45 => new() { ["do"] = "sweep", ["plan"] = Sweep(PlanExamples.FarPositivePentode.Plan, random) },
        < 60 => new() { ["do"] = "sweep", ["plan"] = Sweep(PlanExamples.FarPositiveTriode.Plan, random) },
        _ => new() { ["do"] = "sweep", ["plan"] = Sweep(PlanExamples.GentlePentode.Plan, random) },
    };

    private static JsonNode Sweep(SweepPlan of, Random random) =>
        JsonNode.Parse(PlanDocument.Write(of with { Points = 15 + random.Next(30), DwellMicroseconds = 300, Averaging = new Averaging.Count(1 + random.Next(8)) }))!;

    private static JsonObject Window(int from, int to) => new() { ["from"] = Clock(from), ["to"] = Clock(to) };

    private static string Clock(int hour) => $"{(FirstHour + hour) % 24:00}:00";

    private static JsonArray Array(IEnumerable<JsonNode> nodes) => [.. nodes];
}
