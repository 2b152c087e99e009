using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Stock;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Tests.Studies;

/// <summary>A study that is on record, shown again: on the command line, over REST, on the sheet of its tube.</summary>
public sealed class RecordedStudyTests : IDisposable
{
    private readonly TemporaryData _data = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task It_is_told_from_any_of_its_runs_with_its_steps()
    {
        var study = await StoreAsync();
        Assert.Equal(StudyEnd.FoldBack, study.Findings.End);
        var text = await CliRun.OfAsync(_data.Path, ["runs", "study", "latest"]);
        Assert.Equal((0, ""), (text.ExitCode, text.Error));
        Assert.StartsWith("SKUA-014 (6AU6), exploration of positive drive: the output folds back\n", text.Output, StringComparison.Ordinal);
        Assert.Contains("highest drive recommended", text.Output, StringComparison.Ordinal);
        Assert.Contains("output there  lowest output  shift afterwards", text.Output, StringComparison.Ordinal);
        var view = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "study", "latest", "--json"])).Output)!;
        Assert.Equal(("exploration", "fold-back", study.Setup.StudyId), ((string?)view["kind"], (string?)view["end"], (string?)view["studyId"]));
        var first = (string?)view["runs"]![0];
        Assert.Equal(view.ToJsonString(), JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "study", first!, "--json"])).Output)!.ToJsonString());
        Assert.Equal(study.Findings.Figures[0].Value.Value!.Value, (double)view["figures"]![0]!["figure"]!["value"]!, 9);
    }

    [Fact]
    public async Task One_that_was_cut_off_says_so()
    {
        await StoreAsync(acts: 20);
        var text = await CliRun.OfAsync(_data.Path, ["runs", "study", "latest"]);
        Assert.Equal(0, text.ExitCode);
        Assert.Contains("not at its end", text.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_that_does_not_recover_is_called_that()
    {
        // From the second ceiling on a tenth of its emission is gone for good.
        var study = await StoreAsync(tubeAt: act => act < 16 ? ExampleTubes.Sound6AU6 : TubeAge.WithEmission(ExampleTubes.Sound6AU6, 0.9));
        Assert.Equal(StudyEnd.NotRecovered, study.Findings.End);
        var text = (await CliRun.OfAsync(_data.Path, ["runs", "study", "latest"])).Output;
        Assert.Contains("the tube did not recover", text, StringComparison.Ordinal);
        Assert.Contains("had not come back", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_that_stands_by_itself_is_refused_with_the_way_to_a_study()
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(PlanExamples.GentlePentode));
        var run = await CliRun.OfAsync(_data.Path, ["runs", "study", "latest"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("this run stands by itself, and is no part of a study. Begin one: sweeprig explore --tube SKUA-014", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task REST_tells_the_same()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, Domain.Runs.RunState.Complete, Examples.Block(0));
        using var refused = await bench.SendAsync("GET", $"/api/runs/{header.Id}/study", null);
        Assert.Contains("sweeprig explore --tube SKUA-014", (string?)(await TestBench.ProblemAsync(refused, HttpStatusCode.NotFound))["refusals"]![0]!["remedy"], StringComparison.Ordinal);
        var study = await ModelledStudy.StoreAsync(bench.Services.GetRequiredService<RunStore>(), ModelledStudy.Setup(3));
        var newest = (await bench.Services.GetRequiredService<RunStore>().OfTubeAsync("SKUA-014", Cancellation)).First(r => r.Header.Study is not null);
        var view = await bench.GetAsync($"/api/runs/{newest.Header.Id}/study");
        Assert.Equal(("completed", study.Findings.Because), ((string?)view["end"], (string?)view["because"]));
        Assert.Equal(3, view["series"]![0]!["x"]!.AsArray().Count);
    }

    [Fact]
    public async Task The_sheet_of_the_tube_has_it_and_its_levels_are_not_those_of_a_study()
    {
        await StoreAsync();
        await using var runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancellation);
        using var workbench = new Workbench();
        var sheet = await TubeSheet.ReadAsync(runs, new(runs, TimeProvider.System), new(runs, TimeProvider.System), TypeCatalogue.BuiltIn, new(workbench), "SKUA-014", Examples.Started.AddDays(1), Cancellation);
        Assert.Empty(sheet.Value!.Newest);
        var report = TubeReport.Of(sheet.Value);
        var section = report.Sections.Single(s => s.Heading.StartsWith("Exploration of positive drive", StringComparison.Ordinal));
        Assert.Contains("the output folds back", section.Heading, StringComparison.Ordinal);
        Assert.Equal(2, section.Figures.Count);
        Assert.Equal($"exploration of positive drive, {sheet.Value.Recorded.Count} runs", Assert.Single(report.Sections.Single(s => s.Heading == "Runs").Tables[0].Rows)[2]);
        Assert.NotEmpty(PdfReport.Write(report, Paper.A4));
        Assert.NotEmpty(HtmlReport.Write(report));
        var figures = await new FigureShelf(workbench).ReadAsync(runs, "SKUA-014", FigureSources.Levels, Cancellation);
        Assert.Empty(figures.Figures);
    }

    private async Task<IStudy> StoreAsync(Func<int, SweepRig.Tubes.Model.TubeParameters>? tubeAt = null, int acts = int.MaxValue)
    {
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancellation);
        return await ModelledStudy.StoreAsync(store, tubeAt: tubeAt, acts: acts);
    }
}
