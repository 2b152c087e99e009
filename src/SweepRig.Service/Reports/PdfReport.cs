using SkiaSharp;

namespace SweepRig.Service.Reports;

/// <summary>A report as PDF: figures as vectors, text as text, provenance and page number on every page.</summary>
public static class PdfReport
{
    // What title, headings, captions and footer leave of the first page goes to its two figures.
    private const float AroundFigures = 300, CurvesShare = 0.6f, OtherShare = 0.4f, SmallShare = 0.27f;

    /// <exception cref="IOException">No typeface is installed to write with.</exception>
    public static byte[] Write(Report report, Paper paper)
    {
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(paper);
        using var sheet = new PdfSheet(paper, ReportFont.FamilyFor(report.Words()));
        sheet.Text(report.Title, PdfSheet.TitleSize, bold: true);
        sheet.Text(report.Subtitle, PdfSheet.LargeSize);
        var figure = 0;
        foreach (var section in report.Sections)
        {
            sheet.Heading(section.Heading);
            var follows = section.Figures.Count + section.Drawings.Count + section.Tables.Count > 0;
            foreach (var lead in section.Lead) sheet.Text(lead, PdfSheet.TextSize, bold: true, keepWithNext: follows);
            foreach (var drawn in section.Figures) sheet.Figure(drawn, ++figure, (paper.Height - AroundFigures) * (drawn.IsSmall ? SmallShare : figure == 1 ? CurvesShare : OtherShare));
            foreach (var drawn in section.Drawings) sheet.Drawing(drawn);
            foreach (var table in section.Tables) sheet.Table(table);
            foreach (var note in section.Notes) sheet.Text(note, PdfSheet.TextSize);
        }
        using var file = new MemoryStream();
        var about = new SKDocumentPdfMetadata { Title = "Report: " + report.Title, Subject = report.Footer, Producer = "SweepRig", Creator = "SweepRig", RasterDpi = 300, EncodingQuality = 101 };
        using (var document = SKDocument.CreatePdf(file, about)) sheet.Write(document, report.Footer);
        return file.ToArray();
    }
}
