using SweepRig.Service.Reports;
using UglyToad.PdfPig;
using UglyToad.PdfPig.Content;

namespace SweepRig.Service.Tests.Reports;

/// <summary>The file is read back with a library of its own.</summary>
public sealed class PdfReportTests
{
    public static TheoryData<string> Papers => [.. Paper.All.Select(p => p.Name)];

    // Spaces are gaps in a PDF, not always characters.
    private static string TextOf(Page page) => string.Concat(page.Letters.Select(l => l.Value)).Replace(" ", "", StringComparison.Ordinal);

    private static PdfDocument Open(Paper paper, bool troubled = true) => PdfDocument.Open(PdfReport.Write(RunReport.Of(ReportedRun.Of(troubled: troubled)), paper));

    [Theory]
    [MemberData(nameof(Papers))]
    public void Every_page_has_its_size_its_number_and_says_where_it_comes_from(string name)
    {
        var paper = Paper.Find(name)!;
        using var document = Open(paper);
        Assert.InRange(document.NumberOfPages, 2, 4);
        foreach (var page in document.GetPages())
        {
            Assert.Equal(paper.Width, page.Width, 0.5);
            Assert.Equal(paper.Height, page.Height, 0.5);
            var text = TextOf(page);
            Assert.Contains($"page{page.Number}of{document.NumberOfPages}", text, StringComparison.Ordinal);
            Assert.Contains(ReportedRun.Id, text, StringComparison.Ordinal);
            Assert.Contains("calibration:nominal", text, StringComparison.Ordinal);
            Assert.All(page.Letters, l => Assert.InRange(l.Location.Y, 20, paper.Height - 20));
            Assert.All(page.Letters, l => Assert.InRange(l.Location.X, 20, paper.Width - 20));
        }
    }

    [Fact]
    public void Figures_are_vectors_with_their_axes_and_names_as_text()
    {
        using var document = Open(Paper.A4);
        var first = document.GetPage(1);
        var text = TextOf(first);
        Assert.Contains("SKUA-014,6AU6", text, StringComparison.Ordinal);
        Assert.Contains("drive(V)", text, StringComparison.Ordinal);
        Assert.Contains("output(V)", text, StringComparison.Ordinal);
        Assert.Contains("Figure1.Outputoverdrive", text, StringComparison.Ordinal);
        Assert.All(document.GetPages(), p => Assert.Empty(p.GetImages()));
        Assert.True(first.Paths.Count > 40, $"{first.Paths.Count} paths");
    }

    [Fact]
    public void Levels_marks_trips_and_gaps_are_in_it()
    {
        using var document = Open(Paper.Letter);
        var text = string.Concat(document.GetPages().Select(TextOf));
        foreach (var expected in (string[])["switchingdrive", "±", "5.1mA", "10pointsfrompoint60onaremissing", "Therigwasnotcalibrated", "gridstopper4.7kΩ"])
            Assert.Contains(expected, text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_same_run_gives_the_same_words()
    {
        using PdfDocument one = Open(Paper.A4, troubled: false), other = Open(Paper.A4, troubled: false);
        Assert.Equal(one.GetPages().Select(TextOf), other.GetPages().Select(TextOf));
    }
}
