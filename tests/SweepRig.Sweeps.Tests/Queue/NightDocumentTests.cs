using System.Text.Json;
using System.Text.Json.Nodes;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Sweeps.Tests.Queue;

public sealed class NightDocumentTests
{
    private static readonly string Good = Nights.Text(string.Join(", ",
        Nights.Job("screens", "\"sockets\": [0, 1], \"priority\": 7", "screen"),
        Nights.Job("sweeps", """ "tubes": ["skua-014"], "after": ["screens"], "ifPassed": true, "window": { "from": "22:00", "to": "04:00" }, "limits": [{ "quantity": "pentode.vol", "highest": 12 }] """),
        Nights.Job("hourly", """ "lot": "Skua", "every": { "minutes": 60, "times": 3 } """)), """ "limits": { "heaterHours": 8, "positiveMillicoulombs": 20 }, "goesOnAfterRestart": false """);

    [Fact]
    public void A_night_is_read_whole()
    {
        var order = Nights.Order(Good);
        Assert.Equal(["screens", "sweeps", "hourly"], order.Jobs.Select(j => j.Name));
        Assert.Equal(["SKUA-014"], order.Jobs[1].Target.Tubes);
        Assert.True(order.Jobs[1].IfPassed);
        Assert.Equal(new Repetition(TimeSpan.FromHours(1), 3), order.Jobs[2].Every);
        Assert.Equal((TimeSpan.FromHours(8), 0.02, 3, 5), (order.Limits.HeaterTime, order.Limits.PositiveCoulombs, order.Limits.Acknowledgements, order.Limits.Attempts));
        Assert.False(order.GoesOnAfterRestart);
        Assert.Equal(7, order.Jobs[0].Rank);
        Assert.Equal(NightJob.UsualPriority, order.Jobs[1].Rank);
    }

    [Fact]
    public void The_limits_alone_are_those_of_the_whole_document()
    {
        Assert.Equal(Nights.Order(Good).Limits, NightDocument.Limits(Good));
        Assert.Equal(NightLimits.Default, NightDocument.Limits(Nights.Text(Nights.Job("a"))));
        // A later shape, or a damaged text: it tells no limits, and that is no reason to fail.
        foreach (var other in new[] { """{ "jobs": [], "limits": { "heaterHours": "eight" } }""", """{ "limits": { "unheardOf": 1 } }""", """{ "limits": 3 }""", "[]", "{ \"limits\": ", "" })
            Assert.Null(NightDocument.Limits(other));
    }

    [Fact]
    public void Every_kind_of_work_is_read_with_what_goes_with_it()
    {
        var order = Nights.Order(Nights.Text(string.Join(", ",
            Nights.Job("a", "", "screen"), Nights.Job("b"), Nights.Job("c", "", "family", "\"rail-family\""), Nights.Job("d", "\"minutes\": 60, \"everyMinutes\": 10", "soak"),
            Nights.Job("e", "\"everyMinutes\": 2, \"times\": 20", "repeat"), Nights.Job("f", "", "warm-up"), Nights.Job("g", "\"ceilingVolts\": 12", "explore"),
            Nights.Job("h", "\"onMinutes\": 20, \"offMinutes\": 10, \"cycles\": 4", "life")), """ "permit": { "ceilingVolts": 12, "reason": "fold-back" } """));
        Assert.Equal(NightWork.Words, order.Jobs.Select(j => j.Work.Word));
        Assert.Equal(TimeSpan.FromMinutes(10), Assert.IsType<NightWork.Soak>(order.Jobs[3].Work).Every);
        Assert.Equal(20, Assert.IsType<NightWork.Repeat>(order.Jobs[4].Work).Times);
        Assert.Equal(1, Assert.IsType<NightWork.Explore>(order.Jobs[6].Work).Step.Value);
        Assert.Equal(1, Assert.IsType<NightWork.Life>(order.Jobs[7].Work).SweepEvery);
    }

    public static TheoryData<string, string, string> Contradictions => new()
    {
        { "jobs-in-a-circle", "/jobs/0/after", Nights.Text($"{Nights.Job("a", "\"after\": [\"b\"]")}, {Nights.Job("b", "\"after\": [\"a\"]")}, {Nights.Job("c", "\"after\": [\"a\"]")}") },
        { "tube-in-two-sockets", "/sockets/1/tube", Nights.Set(Nights.Text(Nights.Job("a")), "/sockets/1/tube", "SKUA-014") },
        { "socket-twice", "/sockets/1/socket", Nights.Set(Nights.Text(Nights.Job("a")), "/sockets/1/socket", 0) },
        { "window-reversed", "/jobs/0/window", Nights.Text(Nights.Job("a", """ "window": { "from": "03:00", "to": "02:00" } """)) },
        { "window-outside-night", "/jobs/0/window", Nights.Text(Nights.Job("a", """ "window": { "from": "12:00", "to": "13:00" } """)) },
        { "empty-window", "/window/to", Nights.Text(Nights.Job("a"), window: """{ "from": "20:00", "to": "20:00" }""") },
        { "job-twice", "/jobs/1/name", Nights.Text($"{Nights.Job("a", "\"priority\": 2")}, {Nights.Job("a", "\"priority\": 8")}") },
        { "priority-against-order", "/jobs/1/priority", Nights.Text($"{Nights.Job("a", "\"priority\": 2")}, {Nights.Job("b", "\"priority\": 8, \"after\": [\"a\"]")}") },
        { "duplicate-key", "/jobs/0/priority", Nights.Text(Nights.Job("a", "\"priority\": 2, \"priority\": 8")) },
        { "job-unknown", "/jobs/0/after", Nights.Text(Nights.Job("a", "\"after\": [\"z\"]")) },
        { "socket-without-tube", "/jobs/0/sockets", Nights.Text(Nights.Job("a", "\"sockets\": [5]")) },
        { "tube-not-in-a-socket", "/jobs/0/tubes", Nights.Text(Nights.Job("a", "\"tubes\": [\"SKUA-099\"]")) },
        { "positive-drive-without-permit", "/jobs/0/plan", Nights.Text(Nights.Job("a", plan: "\"far-positive-pentode\"")) },
        { "positive-drive-without-permit", "/jobs/0/ceilingVolts", Nights.Text(Nights.Job("a", "\"ceilingVolts\": 6", "explore")) },
        { "drive-above-permit", "/jobs/0/plan", Nights.Text(Nights.Job("a", plan: "\"far-positive-pentode\""), """ "permit": { "ceilingVolts": 12, "reason": "x" } """) },
        { "passed-what", "/jobs/0/ifPassed", Nights.Text(Nights.Job("a", "\"ifPassed\": true")) },
        { "zone-unknown", "/timeZone", Nights.Text(Nights.Job("a"), zone: "Europe/Atlantis") },
        { "bad-time", "/window/from", Nights.Text(Nights.Job("a"), window: """{ "from": "8pm", "to": "20:00" }""") },
        { "bad-time", "/window/to", Nights.Text(Nights.Job("a"), window: """{ "from": "20:00", "to": "06:30:00" }""") },
        { "bad-time", "/window/to", Nights.Text(Nights.Job("a"), window: """{ "from": "20:00", "to": "" }""") },
        { "not-for-this-job", "/jobs/0/cycles", Nights.Text(Nights.Job("a", "\"cycles\": 3")) },
        { "no-family", "/jobs/0/plan", Nights.Text(Nights.Job("a", "", "family")) },
        { "plan-unknown", "/jobs/0/plan", Nights.Text(Nights.Job("a", plan: "\"no-such\"")) },
        { "missing-key", "/jobs/1/everyMinutes", Nights.Text($"{Nights.Job("a")}, {Nights.Job("b", "\"minutes\": 30", "soak")}") },
        { "no-jobs", "/jobs", Nights.Text("") },
        { "no-sockets", "/sockets", Nights.Text(Nights.Job("a"), sockets: "[]") },
        { "reversed-limits", "/jobs/0/limits/0/highest", Nights.Text(Nights.Job("a", """ "limits": [{ "quantity": "pentode.vol", "lowest": 5, "highest": 2 }] """)) },
        { "missing-key", "/jobs/0/plan/connection", Nights.Text(Nights.Job("a", plan: """{ "format": "sweep-plan/1", "name": "x", "drive": { "startVolts": -14, "stopVolts": 0, "points": 5, "direction": "up" }, "dwellMicroseconds": 100, "averaging": { "conversions": 4 } }""")) },
    };

    [Theory]
    [MemberData(nameof(Contradictions))]
    public void What_cannot_be_is_told_where_it_stands(string code, string path, string text)
    {
        var fault = Assert.Single(NightDocument.Parse(text).Refusals, r => r.Code == code);
        Assert.Equal(path, fault.Path);
        Assert.All([fault.Asked, fault.Allowed, fault.Remedy], Assert.NotEmpty);
    }

    [Fact]
    public void All_faults_come_at_once()
    {
        var text = Nights.Text($"{Nights.Job("a", "\"priority\": 12, \"wndow\": 1")}, {Nights.Job("B", "\"cycles\": 3")}", """ "limits": { "attempts": 0 } """, zone: "Nowhere");
        string[] expected = ["/jobs/0/priority", "/jobs/0/wndow", "/jobs/1/cycles", "/jobs/1/name", "/limits/attempts", "/timeZone"];
        Assert.Equal(expected, NightDocument.Parse(text).Refusals.Select(r => r.Path).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void The_published_example_is_read_and_its_keys_are_those_of_the_reader()
    {
        var schema = JsonNode.Parse(NightDocument.Schema)!;
        Assert.All(schema["examples"]!.AsArray(), e => Assert.Empty(NightDocument.Parse(e!.ToJsonString()).Refusals));
        // A key that the reader does not know is refused with the list of those that it does.
        var stray = NightDocument.Parse(Nights.Set(Nights.Set(Nights.Text(Nights.Job("a")), "/zzzzzzzzzzzzzzzzzzz", 1), "/jobs/0/zzzzzzzzzzzzzzzzzzz", 1)).Refusals.Where(r => r.Code == "unknown-key").ToArray();
        Assert.Equal(2, stray.Length);
        Assert.Equal(Keys(schema["properties"]!), Read(stray.Single(s => !s.Path.StartsWith("/jobs", StringComparison.Ordinal)).Allowed));
        Assert.Equal(Keys(schema["properties"]!["jobs"]!["items"]!["properties"]!), Read(stray.Single(s => s.Path.StartsWith("/jobs", StringComparison.Ordinal)).Allowed));

        static IEnumerable<string> Keys(JsonNode properties) => properties.AsObject().Select(p => p.Key).Order(StringComparer.Ordinal);

        static IEnumerable<string> Read(string allowed) => allowed["keys allowed here are ".Length..].Split(", ").Order(StringComparer.Ordinal);
    }

    [Fact]
    public void Limits_of_the_schema_are_those_of_the_reader()
    {
        using var document = JsonDocument.Parse(NightDocument.Schema);
        var job = document.RootElement.GetProperty("properties").GetProperty("jobs").GetProperty("items").GetProperty("properties");
        var most = job.GetProperty("priority").GetProperty("maximum").GetInt32();
        Assert.True(NightDocument.Parse(Nights.Text(Nights.Job("a", $"\"priority\": {most}"))).IsAccepted);
        Assert.False(NightDocument.Parse(Nights.Text(Nights.Job("a", $"\"priority\": {most + 1}"))).IsAccepted);
        Assert.Equal(NightWork.Words, job.GetProperty("do").GetProperty("enum").EnumerateArray().Select(w => w.GetString()));
    }
}
