using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

[Collection(RealTime.Name)]
public sealed class AdaptiveSweepCommandTests : IDisposable
{
    private static readonly string[] Tube = ["--tube", "SKUA-014", "--type", "6AU6"];

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task An_example_plan_becomes_adaptive_and_its_curves_are_one()
    {
        Task<CliRun> SweepAsync() => CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, "--adaptive", "0.0001", "--most-points", "40", "--json"]);
        var run = await SweepAsync();
        // A machine that stalls for half a second costs the rig its link, as it must; that is not what is asked here.
        for (var again = 0; again < 2 && run.ExitCode == 3 && run.Error.Contains("The link to the rig was lost", StringComparison.Ordinal); again++) run = await SweepAsync();
        Assert.True(run.ExitCode == 0, run.Error);
        var report = JsonNode.Parse(run.Output)!;
        Assert.Equal(40, (int)report["run"]!["samples"]!);
        const int passes = 1 + (40 - AdaptiveRule.DefaultFirst) / AdaptiveRule.DefaultBatch;
        Assert.Equal(passes, report["run"]!["passes"]!.AsArray().Count);
        Assert.Single(report["levels"]!["curves"]!.AsArray());

        var fit = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["fit", "latest", "--json"])).Output)!;
        Assert.Equal(passes, fit["passes"]!.AsArray().Count);
        Assert.True(fit["switchingPoint"]!["value"] is not null || (string?)fit["switchingPoint"]!["absentBecause"] is { Length: > 0 });
    }

    [Fact]
    public async Task What_does_not_go_together_is_said_before_anything_runs()
    {
        var alone = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, "--most-points", "60"]);
        Assert.Equal(2, alone.ExitCode);
        Assert.Contains("--most-points without --adaptive", alone.Error, StringComparison.Ordinal);

        var plan = PlanExamples.GentlePentode.Plan with { SecondSource = new(SteppedSource.PlateRail, new(20), new(28), 3) };
        var family = await CliRun.OfAsync(_data.Path, ["sweep", "-", .. Tube, "--adaptive", "0.001"], PlanDocument.Write(plan));
        Assert.Equal(2, family.ExitCode);
        Assert.Contains("an adaptive sweep steps none", family.Error, StringComparison.Ordinal);

        var wide = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", .. Tube, "--adaptive", "5"]);
        Assert.Equal(2, wide.ExitCode);
        Assert.Contains("--adaptive 5: allowed is", wide.Error, StringComparison.Ordinal);
    }
}
