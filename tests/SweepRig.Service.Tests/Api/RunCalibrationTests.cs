using System.Globalization;
using System.Net;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Api;

/// <summary>Runs keep the calibration they were made with, and can be shown with another one.</summary>
public sealed class RunCalibrationTests
{
    [Fact]
    public async Task An_old_run_is_shown_with_a_newer_calibration_of_its_rig()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        await KeepAsync(bench, Examples.Calibration("cal-1", "SIM-0001", gain: 1.01));

        var asMade = await bench.GetAsync($"/api/runs/{header.Id}/curves");
        var newer = await bench.GetAsync($"/api/runs/{header.Id}/curves?calibration=newest");
        var byId = await bench.GetAsync($"/api/runs/{header.Id}/curves?calibration=cal-1");
        var before = (double)asMade["curves"]![0]!["plate"]![0]!;
        Assert.Equal(1.01 * before, (double)newer["curves"]![0]!["plate"]![0]!, 9);
        Assert.Equal((double)newer["curves"]![0]!["plate"]![0]!, (double)byId["curves"]![0]!["plate"]![0]!);
        Assert.Equal("nominal", (string?)asMade["calibration"]!["state"]);
        Assert.Equal("cal-1", (string?)newer["calibration"]!["id"]);
        var levels = await bench.GetAsync($"/api/runs/{header.Id}/levels?calibration=newest");
        Assert.DoesNotContain("not calibrated", levels["curves"]![0]!["highestOutput"]!["mark"]?.ToString() ?? "", StringComparison.Ordinal);
        Assert.Equal("nominal", (string?)(await bench.GetAsync($"/api/runs/{header.Id}"))["calibration"]!["state"]);
    }

    [Fact]
    public async Task Blocks_and_export_are_derived_with_the_same_words_and_say_with_which()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header() with { Calibration = Examples.Calibration("cal-0", "SIM-0001", gain: 1.02) };
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        await KeepAsync(bench, Examples.Calibration("cal-1", "SIM-0001", gain: 1.01));
        await KeepAsync(bench, Examples.Calibration("cal-old", "SIM-0001", gain: 1.03, madeDaysAfter: -400));
        foreach (var (asked, id, state, gain) in new[]
        {
            ("", "cal-0", "calibrated", 1.02), ("?calibration=as-measured", "cal-0", "calibrated", 1.02), ("?calibration=newest", "cal-1", "calibrated", 1.01),
            ("?calibration=cal-1", "cal-1", "calibrated", 1.01), ("?calibration=cal-old", "cal-old", "stale", 1.03), ("?calibration=nominal", null, "nominal", 1),
        })
        {
            // By hand: code 2800 of 4095 over 40.96 V.
            var expected = gain * 2800 * 40.96 / 4095;
            var blocks = await bench.GetAsync($"/api/runs/{header.Id}/blocks{asked}");
            Assert.Equal(expected, (double)blocks["blocks"]![0]!["plate"]![0]!, 9);
            var curves = await bench.GetAsync($"/api/runs/{header.Id}/curves{asked}");
            Assert.Equal(expected, (double)curves["curves"]![0]!["plate"]![0]!, 9);
            foreach (var view in new[] { blocks, curves, await bench.GetAsync($"/api/runs/{header.Id}/levels{asked}") })
            {
                Assert.Equal(id, (string?)view["calibration"]!["id"]);
                Assert.Equal(state, (string?)view["calibration"]!["state"]);
            }
            using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/export.csv{asked}", null);
            var lines = (await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken)).Split("\r\n");
            var (head, first) = (lines[0].Split(','), lines[1].Split(','));
            string Field(string name) => first[Array.IndexOf(head, name)];
            Assert.Equal(id ?? "nominal", Field("calibration"));
            Assert.Equal(state, Field("calibration state"));
            Assert.Equal(expected, double.Parse(Field("plate (V)"), CultureInfo.InvariantCulture), 9);
            Assert.Equal($"SKUA-014-pentode-{header.Id}{(id == "cal-0" ? "" : "-" + (id ?? "nominal"))}.csv", answer.Content.Headers.ContentDisposition!.FileName);
        }
    }

    [Theory]
    [MemberData(nameof(Parts))]
    public async Task A_calibration_of_another_rig_is_refused_with_both_serial_numbers(string part)
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        await KeepAsync(bench, Examples.Calibration("cal-7", "RIG-0042", gain: 1));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/{part}?calibration=cal-7", null);
        var refusal = (await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!;
        Assert.Equal("calibration-of-another-rig", (string?)refusal["code"]);
        Assert.Contains("RIG-0042", (string?)refusal["asked"], StringComparison.Ordinal);
        Assert.Contains("SIM-0001", (string?)refusal["allowed"], StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Parts))]
    public async Task A_calibration_that_is_not_there_is_refused_everywhere_alike(string part)
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        foreach (var (asked, code) in new[] { ("newest", "never-calibrated"), ("cal-99", "calibration-unknown"), ("", "calibration-unknown"), ("Newest", "calibration-unknown") })
        {
            using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/{part}?calibration={asked}", null);
            var refusal = (await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!;
            Assert.Equal((code, "/calibration"), ((string?)refusal["code"], (string?)refusal["path"]));
            Assert.NotEqual("", (string?)refusal["remedy"]);
        }
    }

    public static TheoryData<string> Parts => ["curves", "levels", "blocks", "export.csv"];

    [Fact]
    public async Task A_run_made_with_a_stale_calibration_says_so_on_every_figure()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header() with { Calibration = Examples.Calibration("cal-1", "SIM-0001", 1.001) with { IsStale = true } };
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        Assert.Equal("stale", (string?)(await bench.GetAsync($"/api/runs/{header.Id}"))["calibration"]!["state"]);
        var curve = (await bench.GetAsync($"/api/runs/{header.Id}/levels"))["curves"]![0]!.AsObject();
        var figures = curve.Where(p => p.Key != "pass" && p.Value!["value"] is not null).ToList();
        Assert.NotEmpty(figures);
        Assert.All(figures, f => Assert.Contains("stale", f.Value!["mark"]!.ToString(), StringComparison.Ordinal));
    }

    private static async Task KeepAsync(TestBench bench, RigCalibration calibration) =>
        Assert.Empty((await bench.Services.GetRequiredService<CalibrationStore>().AddAsync(calibration, TestContext.Current.CancellationToken)).Refusals);
}
