using System.Net;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain;
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
        await KeepAsync(bench, Made("cal-1", "SIM-0001", gain: 1.01));

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
    public async Task A_calibration_of_another_rig_is_refused_with_both_serial_numbers()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        await KeepAsync(bench, Made("cal-7", "RIG-0042", gain: 1));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/levels?calibration=cal-7", null);
        var refusal = (await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!;
        Assert.Equal("calibration-of-another-rig", (string?)refusal["code"]);
        Assert.Contains("RIG-0042", (string?)refusal["asked"], StringComparison.Ordinal);
        Assert.Contains("SIM-0001", (string?)refusal["allowed"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("newest", "never-calibrated")]
    [InlineData("cal-99", "calibration-unknown")]
    public async Task A_calibration_that_is_not_there_is_refused(string asked, string code)
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/curves?calibration={asked}", null);
        Assert.Equal(code, (string?)(await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]![0]!["code"]);
    }

    [Fact]
    public async Task A_run_made_with_a_stale_calibration_says_so_on_every_figure()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header() with { Calibration = Made("cal-1", "SIM-0001", 1.001) with { IsStale = true } };
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        Assert.Equal("stale", (string?)(await bench.GetAsync($"/api/runs/{header.Id}"))["calibration"]!["state"]);
        var curve = (await bench.GetAsync($"/api/runs/{header.Id}/levels"))["curves"]![0]!.AsObject();
        var figures = curve.Where(p => p.Key != "pass" && p.Value!["value"] is not null).ToList();
        Assert.NotEmpty(figures);
        Assert.All(figures, f => Assert.Contains("stale", f.Value!["mark"]!.ToString(), StringComparison.Ordinal));
    }

    private static async Task KeepAsync(TestBench bench, RigCalibration calibration) =>
        Assert.Empty((await bench.Services.GetRequiredService<CalibrationStore>().AddAsync(calibration, TestContext.Current.CancellationToken)).Refusals);

    private static RigCalibration Made(string id, string rig, double gain)
    {
        var correction = new VoltageCorrection(0, gain, 0, 0, 20, new(1e-8, 0, 1e-10, 0, 0, 0), 0.0005, 0.003) { Range = new(-20, 38), Quality = new(9, 0.001) };
        return new(id, rig, [.. RigChannels.All.Select(_ => correction)], correction)
        {
            Origin = new(Examples.Started.AddDays(1), Examples.Started.AddDays(181), new("hand-held meter", "M-7", 0.05, 0, 60, 3, 0.001, 0.2), "", PositivePoints: true),
        };
    }
}
