using System.Diagnostics;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Labels;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Reports;

/// <summary>Labels read back from the page by a decoder of others: poppler's pdftoppm draws it, zbar's zbarimg reads it.</summary>
public sealed class LabelSheetTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-labels-").FullName;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task Codes_hold_the_plain_numbers_and_begin_where_the_sheet_is_not_used_up()
    {
        TubeLabel[] labels = [.. Enumerable.Range(1, 18).Select(i => new TubeLabel($"SKUA-{i:000}", "EF91")), new("PETRELPETREL-9999", "")];
        var grid = LabelGrid.Usual(Paper.A4);
        Assert.Equal((4, 11), (grid.Columns, grid.Rows));
        var pdf = LabelSheet.Write(labels, grid, 33);
        Assert.Equal(labels[..11].Select(l => l.Number), await ReadBackAsync(pdf, grid, 1, 33, 11));
        Assert.Equal(labels[11..].Select(l => l.Number), await ReadBackAsync(pdf, grid, 2, 0, 8));
        using var document = PdfDocument.Open(pdf);
        Assert.Equal(2, document.NumberOfPages);
    }

    [Theory]
    [InlineData("letter", 5, 10, 38.1, 21.2)]
    [InlineData("a4", 2, 3, 20.0, 10.0)]
    public async Task Small_labels_and_letter_are_read_too(string paper, int columns, int rows, double width, double height)
    {
        var grid = LabelGrid.Of(Paper.Find(paper)!, columns, rows, (width, height), null, (2, 1));
        Assert.Empty(grid.Faults());
        TubeLabel[] labels = [.. Enumerable.Range(1, 6).Select(i => new TubeLabel($"TERN-{i:000}", "12AX7"))];
        Assert.Equal(labels.Select(l => l.Number), await ReadBackAsync(LabelSheet.Write(labels, grid, 0), grid, 1, 0, 6));
    }

    [Fact]
    public void Each_number_stands_in_its_own_label_of_the_size_that_was_stated()
    {
        var grid = LabelGrid.Of(Paper.A4, 3, 8, (63.5, 33.9), (7.2, 12.9), (2.5, 0));
        TubeLabel[] labels = [.. Enumerable.Range(1, 20).Select(i => new TubeLabel($"SKUA-{i:000}", "EF91"))];
        using var pdf = PdfDocument.Open(LabelSheet.Write(labels, grid, 4));
        var page = pdf.GetPage(1);
        Assert.Equal((595.276, 841.890), (page.Width, page.Height), (a, b) => Math.Abs(a.Item1 - b.Item1) < 0.1 && Math.Abs(a.Item2 - b.Item2) < 0.1);
        for (var i = 0; i < labels.Length; i++)
        {
            var word = Assert.Single(page.GetWords(), w => w.Text == labels[i].Number).BoundingBox;
            var (column, row) = ((i + 4) % 3, (i + 4) / 3);
            var (left, top) = (7.2 + column * 66, 12.9 + row * 33.9);
            // 25.4 mm are 72 points, counted from the lower edge.
            Assert.InRange(word.Left * 25.4 / 72, left, left + 63.5);
            Assert.InRange(word.Right * 25.4 / 72, left, left + 63.5);
            Assert.InRange(297 - word.Top * 25.4 / 72, top, top + 33.9);
            Assert.InRange(297 - word.Bottom * 25.4 / 72, top, top + 33.9);
        }
    }

    [Theory]
    [InlineData(4, 10, 60.0, 26.0, "grid-off-the-sheet")]
    [InlineData(3, 12, 60.0, 26.0, "grid-off-the-sheet")]
    [InlineData(null, null, 250.0, 26.0, "no-label-fits")]
    [InlineData(4, 10, 19.0, 26.0, "label-too-small")]
    public void What_does_not_fit_is_refused(int? columns, int? rows, double width, double height, string code) =>
        Assert.Contains(LabelGrid.Of(Paper.A4, columns, rows, (width, height), null, null).Faults(), f => f.Code == code);

    /// <summary>Each label by itself, as a scanner sees it: what its code holds, label by label. A label without a code gives nothing, so that the count is then another.</summary>
    private async Task<string[]> ReadBackAsync(byte[] pdf, LabelGrid grid, int page, int first, int count)
    {
        const double PixelsPerMillimetre = 300 / 25.4;
        var file = Path.Combine(_directory, "labels.pdf");
        await File.WriteAllBytesAsync(file, pdf, TestContext.Current.CancellationToken);
        var drawn = new List<string>();
        for (var place = first; place < first + count; place++)
        {
            var to = Path.Combine(_directory, FormattableString.Invariant($"{page}-{place}"));
            _ = await RunAsync(
                "pdftoppm", "-r", "300", "-gray", "-png", "-singlefile", "-f", Text(page), "-l", Text(page), "-x", Pixels(grid.Left + place % grid.Columns * (grid.Width + grid.Across)),
                "-y", Pixels(grid.Top + place / grid.Columns * (grid.Height + grid.Down)), "-W", Pixels(grid.Width), "-H", Pixels(grid.Height), file, to);
            drawn.Add(to + ".png");
        }
        return (await RunAsync("zbarimg", ["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", .. drawn])).Split('\n', StringSplitOptions.RemoveEmptyEntries);

        static string Pixels(double millimetres) => Text((int)(millimetres * PixelsPerMillimetre));

        static string Text(int number) => number.ToString(System.Globalization.CultureInfo.InvariantCulture);
    }

    private static async Task<string> RunAsync(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, $"{program}: {await error}");
        return output;
    }
}
