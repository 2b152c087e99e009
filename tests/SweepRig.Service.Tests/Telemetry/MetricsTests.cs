using System.Diagnostics;
using System.Net;
using System.Text.RegularExpressions;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Telemetry;

/// <summary>What Prometheus reads (its text format, version 0.0.4), and the trace of a run.</summary>
[Collection(RealTime.Name)]
public sealed class MetricsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_run_is_counted_timed_and_traced_and_a_refusal_too()
    {
        List<Activity> spans = [];
        using var listener = new ActivityListener
        {
            ShouldListenTo = s => s.Name == SweepTelemetry.Name,
            Sample = (ref ActivityCreationOptions<ActivityContext> _) => ActivitySamplingResult.AllData,
            ActivityStopped = span =>
            {
                lock (spans) spans.Add(span);
            },
        };
        ActivitySource.AddActivityListener(listener);
        await using var bench = await TestBench.StartWholeAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.UntilAsync<BenchView>(b => b.Link == "connected");
        var before = await ScrapeAsync(bench);

        using var refused = await bench.SendAsync("POST", "/api/bench/permit", """{"ceilingVolts":60,"durationSeconds":60,"reason":"as far as it goes"}""");
        Assert.False(refused.IsSuccessStatusCode);
        using var started = await bench.SendAsync("POST", "/api/runs", $$$"""{"plan":{{{PlanDocument.Write(PlanExamples.GentlePentode.Plan)}}},"tube":{"label":"SKUA-014","type":"6AU6"}}""");
        Assert.Equal(HttpStatusCode.Accepted, started.StatusCode);
        var ended = (RunEndedView)(await viewer.UntilAsync<RunEndedView>(_ => true))[^1];
        var after = await ScrapeAsync(bench);

        Assert.Equal(141, Sum(after, "sweeprig_samples_total") - Sum(before, "sweeprig_samples_total"));
        Assert.Equal(1, Sum(after, "sweeprig_runs_total", "complete") - Sum(before, "sweeprig_runs_total", "complete"));
        Assert.True(Sum(after, "sweeprig_store_write_duration_seconds_count") > Sum(before, "sweeprig_store_write_duration_seconds_count"));
        Assert.True(Sum(after, "sweeprig_refusals_total") > Sum(before, "sweeprig_refusals_total"));
        Assert.Equal(1, Sum(after, "sweeprig_rig_connected"));
        Assert.Contains("# TYPE sweeprig_store_write_duration_seconds histogram", after, StringComparison.Ordinal);
        Assert.Contains("dotnet_", after, StringComparison.Ordinal);

        lock (spans)
        {
            var run = spans.Single(s => s.OperationName == "run" && (string?)s.GetTagItem("sweeprig.run.id") == ended.RunId);
            var parts = spans.Where(s => s.ParentSpanId == run.SpanId).OrderBy(s => s.StartTimeUtc).Select(s => s.OperationName).ToArray();
            Assert.Equal(["plan", "begin", "pass", "record"], parts);
            Assert.Null(run.Parent);
        }
    }

    [Fact]
    public async Task What_is_left_of_a_night_is_counted_for_each_rig()
    {
        await using var bench = await TestBench.StartWholeAsync(null, "left", "right");
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.UntilAsync<BenchView>(b => b.Link == "connected");
        Assert.Equal(0, Sum(await ScrapeAsync(bench), "sweeprig_night_steps_left", "left"));
        var now = TimeProvider.System.GetUtcNow();
        // It opens in an hour: nothing of it is begun.
        var document = $$$"""
            {"document":{"format":"night/1","name":"Skua","timeZone":"Etc/UTC","window":{"from":"{{{now.AddHours(1):HH:mm}}}","to":"{{{now.AddHours(9):HH:mm}}}"},
             "sockets":[{"socket":0,"tube":"SKUA-014","type":"6AU6"}],"jobs":[{"name":"sweeps","do":"sweep","plan":"gentle-pentode","every":{"minutes":10,"times":7}}]}}
            """;
        using var begun = await bench.SendAsync("POST", "/api/night?rig=left", document);
        Assert.True(begun.IsSuccessStatusCode, await begun.Content.ReadAsStringAsync(Cancellation));
        // An answer is kept for a moment, for several that ask at once.
        var text = "";
        await Eventually.HoldsAsync("the night to be counted", async () => Sum(text = await ScrapeAsync(bench), "sweeprig_night_steps_left", "left") == 7);
        Assert.Equal(0, Sum(text, "sweeprig_night_steps_left", "right"));
        Assert.Equal(0, Sum(text, "sweeprig_night_held", "left"));
        using var held = await bench.SendAsync("POST", "/api/night/hold?rig=left", """{"why":"somebody works there"}""");
        Assert.True(held.IsSuccessStatusCode, await held.Content.ReadAsStringAsync(Cancellation));
        await Eventually.HoldsAsync("it to be told", async () => Sum(await ScrapeAsync(bench), "sweeprig_night_held", "left") == 1);
    }

    [Fact]
    public async Task Metrics_are_kept_from_pages_of_elsewhere()
    {
        await using var bench = await TestBench.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/metrics");
        request.Headers.Host = "elsewhere.example:80";
        using var answer = await bench.Http.SendAsync(request, Cancellation);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
    }

    private static Task<string> ScrapeAsync(TestBench bench) => bench.Http.GetStringAsync(new Uri("/metrics", UriKind.Relative), Cancellation);

    private static double Sum(string text, string name, string label = "") => Regex.Matches(text, $@"^{name}(?:\{{([^}}]*)\}})? ([\d.eE+-]+)", RegexOptions.Multiline)
        .Where(m => m.Groups[1].Value.Contains(label, StringComparison.Ordinal)).Sum(m => double.Parse(m.Groups[2].Value, System.Globalization.CultureInfo.InvariantCulture));
}
