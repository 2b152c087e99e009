using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Analysis;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Reports;

/// <summary>What is worked out of a run stands in its report: fit, residuals, prediction, health.</summary>
public sealed class WholeReportTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Fit_residuals_prediction_and_health_are_told()
    {
        var (pentode, triode) = (new ModelledRun(PlanExamples.FarPositivePentode), new ModelledRun(PlanExamples.FarPositiveTriode) { Seed = 2 });
        await ModelledRun.StoreAsync(_data.Path, pentode, triode);
        var report = await ReportAsync(pentode, new([triode.Id]));

        Assert.Equal(["Curves", "Levels", "Fit of the tube", "Prediction", "Health", "Trips and gaps", "Where it comes from"], report.Sections.Select(s => s.Heading));
        var fit = report.Sections[2];
        Assert.StartsWith("The model describes", fit.Lead[0], StringComparison.Ordinal);
        var rows = Assert.Single(fit.Tables).Rows;
        Assert.Equal(15, rows.Count);
        // Value and both ends of the interval have as many decimals, whatever their size.
        Assert.All(rows.Where(r => r[3].Length > 0), r => Assert.Single(r[3].Split(" to ").Append(r[2]).Select(Decimals).Distinct()));
        Assert.Contains(rows, r => r[0] == "Perveance" && r[1] == "mA/V^1.5");
        var residuals = Assert.Single(fit.Figures);
        Assert.Equal("measured − fitted (mV)", residuals.Vertical);
        Assert.Equal(4, residuals.Curves.Count);
        // Most dots within the dashed lines, as their caption promises.
        Assert.True(residuals.Curves.SelectMany(c => c.Y).Count(y => Math.Abs(y) <= residuals.Lines.Max(l => l.Y)) > 0.85 * residuals.Curves.Sum(c => c.Y.Length));

        var prediction = report.Sections[3];
        Assert.Equal(["predicted output", "", "5 kΩ at 28 V", "20 kΩ at 28 V"], Assert.Single(prediction.Tables).Columns);
        Assert.All(prediction.Figures[0].Curves.Skip(1), c => Assert.All(c.HalfWidth!, h => Assert.True(h > 0)));
        Assert.Contains("not screened", report.Sections[4].Notes[0], StringComparison.Ordinal);
        Assert.Contains(report.Sections[^1].Notes, n => n.Contains("hot glass burns", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_run_that_cannot_be_fitted_says_why_and_predicts_nothing()
    {
        var two = new ModelledRun(PlanExamples.GentlePentode.Plan with { Points = 2 });
        await ModelledRun.StoreAsync(_data.Path, two);
        var report = await ReportAsync(two, new([]));
        Assert.StartsWith("No fit: ", report.Sections[2].Lead[0], StringComparison.Ordinal);
        Assert.Empty(report.Sections[2].Tables);
        Assert.DoesNotContain(report.Sections, s => s.Heading == "Prediction");
    }

    [Fact]
    public async Task The_pdf_takes_no_more_of_its_fonts_than_it_needs()
    {
        var run = new ModelledRun(PlanExamples.FarPositivePentode);
        await ModelledRun.StoreAsync(_data.Path, run);
        var report = await ReportAsync(run, new([], PlateResistorOhms: 22_000));
        var pdf = PdfReport.Write(report, Paper.A4);
        // Two whole typefaces alone are 700 kB.
        Assert.InRange(pdf.Length, 20_000, 250_000);
        using var document = PdfDocument.Open(pdf);
        var text = string.Concat(document.GetPages().SelectMany(p => p.Letters).Select(l => l.Value)).Replace(" ", "", StringComparison.Ordinal);
        foreach (var expected in (string[])["22kΩ", "measured−fitted(mV)", "µA/V^1.5", "95%interval"]) Assert.Contains(expected, text, StringComparison.Ordinal);
        Assert.All(document.GetPages(), p => Assert.All(p.Letters, l => Assert.InRange(l.Location.X, 20, Paper.A4.Width - 20)));
    }

    [Fact]
    public void A_label_in_any_script_is_written_whole()
    {
        var report = RunReport.Of(ReportedRun.Of("Чайка-014"));
        using var document = PdfDocument.Open(PdfReport.Write(report, Paper.A4));
        Assert.Contains("Чайка-014", string.Concat(document.GetPage(1).Letters.Select(l => l.Value)), StringComparison.Ordinal);
    }

    [Fact]
    public void Health_leads_with_its_verdict_and_names_what_was_not_seen()
    {
        var item = new HealthItemView("gas", "reverse grid current at this rail", Figure.Of(-2.1e-8, "A", 6e-10), "bad", ["too much"], "m", "s", "shows", "cannot");
        var none = item with { Title = "warm-up to 80 %", Figure = Figure.None("s", "it was warm"), Verdict = "not-seen" };
        var section = ReportHealth.Of(new("1", new("SKUA-014", "6AU6", null), "bad", ["reverse grid current at this rail: too much."], [item, none], ["warm-up: it was warm already"]));
        Assert.Equal(["Verdict: bad: reverse grid current at this rail: too much."], section.Lead);
        Assert.Equal(["reverse grid current at this rail", "bad", "-21.0 ± 1.2 nA"], section.Tables[0].Rows[0]);
        Assert.Equal(["warm-up to 80 %", "not seen", ""], section.Tables[0].Rows[1]);
        Assert.Equal(["Not seen: warm-up: it was warm already."], section.Notes);
    }

    [Theory]
    [InlineData(0.0, null, "/plateResistorOhms")]
    [InlineData(null, 61.0, "/plateRailVolts")]
    public async Task What_cannot_be_predicted_is_refused(double? ohms, double? rail, string path)
    {
        var run = new ModelledRun(PlanExamples.GentlePentode);
        await ModelledRun.StoreAsync(_data.Path, run);
        var refused = await MakeAsync(run, new([], null, ohms, rail));
        Assert.Equal(path, Assert.Single(refused.Refusals).Path);
    }

    private static int Decimals(string number) => number.Contains('.', StringComparison.Ordinal) ? number.Length - number.IndexOf('.', StringComparison.Ordinal) - 1 : 0;

    private async Task<Report> ReportAsync(ModelledRun run, ReportAsked asked)
    {
        var made = await MakeAsync(run, asked);
        Assert.True(made.IsAccepted, string.Join(" ", made.Refusals));
        return made.Value.Report;
    }

    private async Task<Domain.Outcome<MadeReport>> MakeAsync(ModelledRun run, ReportAsked asked)
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        using var workbench = new Workbench();
        return await WholeReport.OfAsync(store, new(store, TimeProvider.System), workbench, (await store.FindAsync(run.Id, cancellation))!, asked, cancellation);
    }
}
