using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Hosting;

/// <summary>The service as it is in life: runner, run store and simulated rig behind REST and hub.</summary>
[Collection(RealTime.Name)]
public sealed class WholeBenchTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static string StartRequest { get; } =
        $"{{\"plan\":{PlanDocument.Write(PlanExamples.GentlePentode.Plan)},\"tube\":{{\"label\":\"SKUA-014\",\"type\":\"6AU6\",\"lot\":\"Skua\"}}}}";

    [Fact]
    public async Task A_run_is_swept_streamed_recorded_and_read_back()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.UntilAsync<BenchView>(b => b.Link == "connected");

        using var answer = await bench.SendAsync("POST", "/api/runs", StartRequest);
        var text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.Accepted, text);
        var id = (string)JsonNode.Parse(text)!["id"]!;

        var messages = await viewer.UntilAsync<RunEndedView>(r => r.RunId == id);
        var run = await bench.GetAsync($"/api/runs/{id}");
        Assert.True((string?)run["state"] == "complete", run["trips"]!.ToJsonString());
        Assert.Equal("complete", Assert.IsType<RunEndedView>(messages[^1]).State);
        var live = messages.OfType<LiveBlockView>().ToList();
        Assert.Equal(Enumerable.Range(0, 141), live.SelectMany(b => b.PointIndex).Order());
        Assert.Single(messages.OfType<RunStartedView>());
        Assert.Single(messages.OfType<PassEndedView>());

        Assert.Equal(141, (int)run["samples"]!);
        Assert.Equal(BenchServices.SoftwareVersion, (string?)run["softwareVersion"]);
        var curve = (await bench.GetAsync($"/api/runs/{id}/curves"))["curves"]![0]!;
        // Cut off at -14 V the plate is at the rail; at 0 V it has come down.
        Assert.Equal(28, (double)curve["plate"]![0]!, 0.3);
        Assert.True((double)curve["plate"]![140]! < 20);
        // What was seen live is what is on record.
        var point = live[0].PointIndex[0];
        Assert.Equal((double)curve["plate"]![point]!, live[0].Plate[0], 12);
    }

    [Fact]
    public async Task Stopping_the_service_in_mid_sweep_leaves_the_rig_safe_and_the_run_readable()
    {
        var bench = await TestBench.StartWholeAsync();
        await using var disposing = bench;
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.UntilAsync<BenchView>(b => b.Link == "connected");
        var slow = PlanExamples.GentlePentode.Plan with { DwellMicroseconds = 500_000 };
        using var answer = await bench.SendAsync("POST", "/api/runs", StartRequest.Replace(PlanDocument.Write(PlanExamples.GentlePentode.Plan), PlanDocument.Write(slow), StringComparison.Ordinal));
        Assert.Equal(HttpStatusCode.Accepted, answer.StatusCode);
        await viewer.UntilAsync<LiveBlockView>(_ => true);

        var rig = bench.Services.GetRequiredService<StationList>().Default.Simulated!;
        var note = Path.Combine(bench.Directory, ServiceNote.FileName);
        Assert.True(File.Exists(note));
        await bench.StopAsync();

        Assert.False(File.Exists(note));
        Assert.True(rig.Journal.IsSafe, "the rig is not safe");
        Assert.False(rig.Journal.HeaterOn);
        var id = (string)JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!["id"]!;
        var run = await bench.Services.GetRequiredService<RunStore>().FindAsync(id, Cancellation);
        Assert.Equal(RunState.Incomplete, run!.State);
        Assert.True(run.Samples > 0);
    }

    [Fact]
    public async Task The_note_of_a_running_service_says_where_it_is()
    {
        await using var bench = await TestBench.StartAsync();
        var note = JsonNode.Parse(await File.ReadAllTextAsync(Path.Combine(bench.Directory, ServiceNote.FileName), Cancellation))!;
        Assert.Equal(bench.Url.GetLeftPart(UriPartial.Authority), (string?)note["url"]);
        Assert.Equal(Environment.ProcessId, (int)note["processId"]!);
    }

    [Fact]
    public async Task A_second_service_on_the_same_data_is_refused()
    {
        await using var bench = await TestBench.StartAsync();
        await using var second = WebHost.Build(new BenchOptions { DataDirectory = bench.Directory, Url = "http://127.0.0.1:0" });
        var fault = await Assert.ThrowsAsync<BenchStartException>(() => second.StartBenchAsync(Cancellation));
        Assert.Contains(bench.Directory, fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
    }

    [Fact]
    public async Task A_port_in_use_is_named()
    {
        await using var bench = await TestBench.StartAsync();
        var other = Directory.CreateTempSubdirectory("sweeprig-").FullName;
        var second = WebHost.Build(new BenchOptions { DataDirectory = other, Url = bench.Url.ToString() });
        var fault = await Assert.ThrowsAsync<BenchStartException>(() => second.StartBenchAsync(Cancellation));
        await second.DisposeAsync();
        Assert.Contains($"{bench.Url} is in use", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
        Directory.Delete(other, recursive: true);
    }

    [Fact]
    public void An_address_that_others_could_reach_is_refused()
    {
        var fault = Assert.Throws<BenchStartException>(() => WebHost.Build(new BenchOptions { DataDirectory = "unused", Url = "http://0.0.0.0:5240" }));
        Assert.True(fault.BadInput);
        Assert.Contains("0.0.0.0:5240", fault.Message, StringComparison.Ordinal);
    }
}
