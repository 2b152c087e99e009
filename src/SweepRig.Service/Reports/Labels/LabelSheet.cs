using QRCoder;
using SkiaSharp;

namespace SweepRig.Service.Reports.Labels;

/// <summary>What stands on the label of a tube.</summary>
/// <param name="Number">Of the tube; also all that the code holds, so that any scanner types it.</param>
/// <param name="Below">A smaller line; may be empty.</param>
public sealed record TubeLabel(string Number, string Below);

/// <summary>Sheets of labels as PDF: a QR code (ISO/IEC 18004) and the plain number, drawn as vectors.</summary>
public static class LabelSheet
{
    private const float Largest = 15, Smallest = 4;
    private const double InnerMargin = 0.75;

    /// <param name="labels">In the order of the sheet, 1 or more.</param>
    /// <param name="grid">Without faults.</param>
    /// <param name="start">Labels of the first sheet that are used up, 0 or more and less than a sheet has.</param>
    /// <exception cref="IOException">No typeface is installed to write with.</exception>
    public static byte[] Write(IReadOnlyList<TubeLabel> labels, LabelGrid grid, int start)
    {
        ArgumentNullException.ThrowIfNull(labels);
        ArgumentNullException.ThrowIfNull(grid);
        var family = ReportFont.FamilyFor(labels.SelectMany(l => new[] { l.Number, l.Below }));
        using var file = new MemoryStream();
        var about = new SKDocumentPdfMetadata { Title = $"Labels {labels[0].Number} to {labels[^1].Number}", Producer = "SweepRig", Creator = "SweepRig", RasterDpi = 300, EncodingQuality = 101 };
        using (var document = SKDocument.CreatePdf(file, about))
        {
            for (var from = 0; from < labels.Count;)
            {
                var first = from == 0 ? start : 0;
                var here = Math.Min(labels.Count - from, grid.PerSheet - first);
                var canvas = document.BeginPage(grid.Paper.Width, grid.Paper.Height);
                for (var i = 0; i < here; i++) Draw(canvas, labels[from + i], grid, first + i, family);
                document.EndPage();
                from += here;
            }
            document.Close();
        }
        return file.ToArray();
    }

    private static void Draw(SKCanvas canvas, TubeLabel label, LabelGrid grid, int place, string family)
    {
        var (left, top) = grid.Corner(place);
        var (width, height, inner) = (LabelGrid.Points(grid.Width), LabelGrid.Points(grid.Height), LabelGrid.Points(InnerMargin));
        var side = Math.Min(height - 2 * inner, 0.5f * (width - 2 * inner));
        Code(canvas, label.Number, left + inner, top + (height - side) / 2, side);
        var (x, room) = (left + inner + side + inner, width - side - 3 * inner);
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = true };
        using var number = Fitting(label.Number, ReportFont.Typeface(family, bold: true), room, Math.Min(Largest, 0.45f * height));
        using var below = Fitting(label.Below, ReportFont.Typeface(family, bold: false), room, 0.6f * number.Size);
        var middle = top + height / 2;
        canvas.DrawText(label.Number, x, label.Below.Length == 0 ? middle + 0.36f * number.Size : middle, SKTextAlign.Left, number, ink);
        if (label.Below.Length > 0) canvas.DrawText(label.Below, x, middle + 1.3f * below.Size, SKTextAlign.Left, below, ink);
    }

    // With the quiet zone of 4 modules that the standard asks for. Rows of black modules are one rectangle each, so that no seams show between them.
    private static void Code(SKCanvas canvas, string text, float left, float top, float side)
    {
        using var code = QRCodeGenerator.GenerateQrCode(text, QRCodeGenerator.ECCLevel.M);
        using var ink = new SKPaint { Color = SKColors.Black, IsAntialias = false };
        var modules = code.ModuleMatrix;
        var step = side / modules.Count;
        for (var row = 0; row < modules.Count; row++)
        {
            for (var column = 0; column < modules.Count; column++)
            {
                if (!modules[row][column]) continue;
                var from = column;
                while (column + 1 < modules.Count && modules[row][column + 1]) column++;
                canvas.DrawRect(SKRect.Create(left + from * step, top + row * step, (column - from + 1) * step, step), ink);
            }
        }
    }

    private static SKFont Fitting(string text, SKTypeface face, float room, float largest)
    {
        var font = new SKFont(face, largest) { Subpixel = true, LinearMetrics = true, Hinting = SKFontHinting.None };
        var wide = font.MeasureText(text);
        if (wide > room) font.Size = Math.Max(Smallest, largest * room / wide);
        return font;
    }
}
