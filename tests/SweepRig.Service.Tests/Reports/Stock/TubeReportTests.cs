using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Reports.Stock;

/// <summary>One tube on paper, whatever is known of it.</summary>
public sealed class TubeReportTests : IDisposable
{
    private readonly TemporaryData _data = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_tube_of_the_stock_shows_history_curve_and_levels()
    {
        await ModelledLot.StoreAsync(_data.Path, 3);
        var report = await ReportAsync("SKUA-001");
        Assert.Equal(("SKUA-001, 6AU6", "lot Skua, new, no grade yet, drawer 3"), (report.Title, report.Subtitle));
        Assert.Single(Section(report, "Curves").Figures);
        Assert.Contains("±", Section(report, "Levels, pentode").Tables[0].Rows[0][2], StringComparison.Ordinal);
        Assert.Equal(["booked in Skua", "identified as 6AU6", "moved to drawer 3"], Section(report, "History").Tables[0].Rows.Select(r => r[1]));
        Assert.Contains("not screened", Section(report, "Health").Notes[0], StringComparison.Ordinal);
        Assert.Single(Section(report, "Runs").Tables[0].Rows);
        Assert.NotEmpty(PdfReport.Write(report, Paper.Letter));
    }

    [Fact]
    public async Task A_tube_that_was_never_swept_says_how_to_sweep_it()
    {
        await ModelledLot.StoreAsync(_data.Path, 3);
        var report = await ReportAsync("SKUA-003");
        Assert.Contains("sweeprig sweep gentle-pentode --tube SKUA-003 --type 6AU6", Section(report, "Curves").Notes[0], StringComparison.Ordinal);
        Assert.NotEmpty(HtmlReport.Write(report));
    }

    [Fact]
    public async Task A_tube_that_was_never_booked_in_has_its_runs_all_the_same()
    {
        await ModelledRun.StoreAsync(_data.Path, new ModelledRun(Domain.Plans.PlanExamples.FarPositivePentode), new ModelledRun(Domain.Plans.PlanExamples.FarPositiveTriode) { Seed = 2 });
        var report = await ReportAsync("SKUA-014");
        Assert.Equal("lot Skua, not booked into the stock", report.Subtitle);
        Assert.Equal(["pentode", "triode"], Assert.Single(Section(report, "Curves").Figures).Curves.Select(c => c.Label).Order());
        Assert.Contains("does not know this number", Section(report, "History").Notes[0], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_that_was_measured_again_shows_its_drift()
    {
        await ModelledRun.StoreAsync(_data.Path, [.. Enumerable.Range(0, 4).Select(i => new ModelledRun(Domain.Plans.PlanExamples.GentlePentode)
        {
            StartedUtc = Examples.Started.AddDays(i), Seed = i,
            Tube = ModelledLot.Weaker(i == 3 ? 0.7 : 1),
        })]);
        var drift = Section(await ReportAsync("SKUA-014"), "Drift");
        Assert.Equal(["pentode.switching-drive", "pentode.vol"], drift.Tables[0].Rows.Select(r => r[0]));
        Assert.All(drift.Tables[0].Rows, r => Assert.Equal("4 times", r[1]));
        Assert.Equal([0.0, 1, 2, 3], drift.Figures[0].Curves[0].X);
        Assert.Equal(3, drift.Figures[1].Lines.Count);
        // 30 % less current raise VOL by volts, its uncertainty is tenths.
        Assert.True(double.Parse(drift.Tables[0].Rows[1][5], System.Globalization.CultureInfo.InvariantCulture) > 1);
        Assert.Contains(drift.Notes, n => n.StartsWith("pentode.vol: Changed by", StringComparison.Ordinal));
    }

    private static ReportSection Section(Report report, string heading) => report.Sections.Single(s => s.Heading == heading);

    private async Task<Report> ReportAsync(string label)
    {
        await using var runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancellation);
        using var workbench = new Workbench();
        var sheet = await TubeSheet.ReadAsync(runs, new(runs, TimeProvider.System), new(runs, TimeProvider.System), SweepRig.Tubes.Catalogue.TypeCatalogue.BuiltIn, new(workbench), label, Examples.Started.AddDays(1), Cancellation);
        Assert.True(sheet.IsAccepted, string.Join(" ", sheet.Refusals));
        return TubeReport.Of(sheet.Value);
    }
}
