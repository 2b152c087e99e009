using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Stock;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Reports.Stock;

/// <summary>A lot of 14 tubes, 12 of them alive and swept, on paper.</summary>
public sealed class LotReportTests : IAsyncLifetime, IDisposable
{
    private const int Tubes = 14;

    private static readonly GradeScheme Grades = new([new("first", [new("pentode.vol", "V", null, 4.6), new("pentode.switching-drive", "V", -0.8, null)]), new("second", [new("pentode.vol", "V", null, 90)])]);

    private readonly TemporaryData _data = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _data.Dispose();

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    public async ValueTask InitializeAsync() => await ModelledLot.StoreAsync(_data.Path, Tubes);

    [Fact]
    public async Task Yield_is_that_of_the_grading_and_its_limits_stand_beside_it()
    {
        var sheet = await SheetAsync(Grades);
        var expected = LotGrading.Of(Grades, [.. sheet.Alive.Select(t => t.Figures)]);
        var rows = Assert.Single(Section(LotReport.Of(sheet, Cancellation), "Yield").Tables).Rows;
        Assert.Equal(expected.Counts.Select(c => (c.Grade, $"{c.Tubes}")), rows.Select(r => (r[0], r[2])));
        Assert.Equal("pentode.vol up to 4.6 V, pentode.switching-drive from -800 mV", rows[0][1]);
        // The tube that nobody swept is undecided; the retired one does not count.
        Assert.Equal(Tubes - 1, rows.Sum(r => int.Parse(r[2], System.Globalization.CultureInfo.InvariantCulture)));
    }

    [Fact]
    public async Task Histograms_hold_every_tube_once_and_their_limits_with_the_guard_band_inward()
    {
        var sheet = await SheetAsync(Grades);
        var figures = Section(LotReport.Of(sheet, Cancellation), "Spread").Figures;
        Assert.Equal(["vol (V)", "switching-drive (mV)"], figures.Select(f => f.Horizontal));
        var values = sheet.Alive.Select(t => t.Figures.Figures.GetValueOrDefault("pentode.vol")?.Value).OfType<double>().ToArray();
        Assert.Equal(Tubes - 2, values.Length);
        Assert.Equal(values.Length, figures[0].Bars.Sum(b => b.Height));
        // Every tube within a bar, and each bar as high as it holds tubes.
        Assert.All(figures[0].Bars, b => Assert.Equal(b.Height, values.Count(v => v >= b.From && v < b.To)));
        Assert.Equal("first to 4.6 V", Assert.Single(figures[0].Limits).Label);
        Assert.True(figures[0].Limits[0].Guard < 0, "what is let through lies below the highest value");
        Assert.EndsWith("; beyond the figure: second to 90 V", figures[0].Caption, StringComparison.Ordinal);
        Assert.True(Assert.Single(figures[1].Limits).Guard > 0);
    }

    [Fact]
    public async Task Two_quantities_stand_against_each_other_and_every_tube_has_its_line()
    {
        var report = LotReport.Of(await SheetAsync(null), Cancellation);
        Assert.Equal(["What the lot is", "Yield", "Spread", "Outliers", "Two quantities", "Pairs", "Tubes", "Where it comes from"], report.Sections.Select(s => s.Heading));
        var scatter = Assert.Single(Section(report, "Two quantities").Figures);
        Assert.Equal(Tubes - 2, Assert.Single(scatter.Curves).X.Length);
        var rows = Assert.Single(Section(report, "Tubes").Tables).Rows;
        Assert.Equal(Enumerable.Range(1, Tubes).Select(n => $"SKUA-{n:000}"), rows.Select(r => r[0]));
        Assert.Equal(("retired", "new"), (rows[^2][1], rows[^1][1]));
        Assert.All(rows.Take(Tubes - 2), r => Assert.Contains("±", r[4], StringComparison.Ordinal));
        Assert.All(rows[^1].Skip(4), Assert.Empty);
        Assert.Contains("No tube of this lot has a grade yet", Section(report, "Yield").Notes[0], StringComparison.Ordinal);
        Assert.Contains("13 of 13 runs lean on nominal values", Section(report, "What the lot is").Lead[0], StringComparison.Ordinal);
        Assert.Contains("proven", string.Concat(Section(report, "Pairs").Notes), StringComparison.Ordinal);
        Assert.Equal(6, Assert.Single(Section(report, "Pairs").Tables).Rows.Count);
    }

    [Theory]
    [InlineData("a4")]
    [InlineData("letter")]
    public async Task The_pdf_has_its_words_within_the_margins_and_says_on_every_page_where_it_comes_from(string name)
    {
        var paper = Paper.Find(name)!;
        using var document = PdfDocument.Open(PdfReport.Write(LotReport.Of(await SheetAsync(Grades), Cancellation), paper));
        foreach (var page in document.GetPages())
        {
            var text = string.Concat(page.Letters.Select(l => l.Value)).Replace(" ", "", StringComparison.Ordinal);
            Assert.Equal(paper.Width, page.Width, 0.5);
            Assert.Contains($"page{page.Number}of{document.NumberOfPages}", text, StringComparison.Ordinal);
            Assert.Contains("lotSkua", text, StringComparison.Ordinal);
            Assert.Contains("calibrationnominal", text, StringComparison.Ordinal);
            Assert.All(page.Letters, l => Assert.InRange(l.Location.X, 20, paper.Width - 20));
            Assert.All(page.Letters, l => Assert.InRange(l.Location.Y, 20, paper.Height - 20));
            Assert.Empty(page.GetImages());
        }
        var all = string.Concat(document.GetPages().SelectMany(p => p.Letters).Select(l => l.Value)).Replace(" ", "", StringComparison.Ordinal);
        foreach (var expected in (string[])["SKUA-014", "firstto4.6V", "tubes", "proven", "JCGM106:2012", "coastradiostation"]) Assert.Contains(expected, all, StringComparison.Ordinal);
    }

    [Fact]
    public void A_table_that_goes_over_the_page_has_its_headings_again()
    {
        var rows = Enumerable.Range(1, 200).Select(i => (string[])[$"row-{i}", "x", "1"]).ToArray();
        var report = new Report("Lot", "", [new("Tubes", [], [new("", ["number-of-tube", "", "value"], rows)], [])], "footer");
        using var document = PdfDocument.Open(PdfReport.Write(report, Paper.A4));
        Assert.True(document.NumberOfPages > 3);
        Assert.All(document.GetPages(), p => Assert.Contains("number-of-tube", string.Concat(p.Letters.Select(l => l.Value)), StringComparison.Ordinal));
        var all = string.Concat(document.GetPages().SelectMany(p => p.Letters).Select(l => l.Value));
        Assert.All(rows, r => Assert.Contains(r[0] + "x1", all, StringComparison.Ordinal));
    }

    private static ReportSection Section(Report report, string heading) => report.Sections.Single(s => s.Heading == heading);

    private async Task<LotSheet> SheetAsync(GradeScheme? scheme)
    {
        await using var runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancellation);
        using var workbench = new Workbench();
        var sheet = await LotSheet.ReadAsync(runs, new(runs, TimeProvider.System), new(workbench), "Skua", scheme, Examples.Started.AddDays(1), null, Cancellation);
        Assert.True(sheet.IsAccepted, string.Join(" ", sheet.Refusals));
        return sheet.Value;
    }
}
