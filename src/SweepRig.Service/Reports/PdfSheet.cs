using ScottPlot;
using SkiaSharp;
using SweepRig.Logic.Drawing;

namespace SweepRig.Service.Reports;

/// <summary>Blocks one below the other, broken into pages between blocks; drawn once all pages are known, so that each can say of how many it is.</summary>
/// <param name="family">Typeface of all text, of <see cref="ReportFont"/>.</param>
internal sealed class PdfSheet(Paper paper, string family) : IDisposable
{
    public const float TitleSize = 24, LargeSize = 12, TextSize = 10.5f, FooterSize = 7.5f;

    /// <summary>First lines of a list that go with its heading: fewer look lost at the foot of a page.</summary>
    private const int KeptTogether = 3;

    private const float Margin = 42, FooterHeight = 26, LineHeight = 1.35f;

    private readonly List<Block> _blocks = [];
    private readonly List<IDisposable> _owned = [];
    private readonly SKTypeface _plain = ReportFont.Typeface(family, bold: false), _bold = ReportFont.Typeface(family, bold: true);
    private readonly SKPaint _ink = new() { Color = SKColors.Black, IsAntialias = true };
    private readonly SKPaint _rule = new() { Color = SKColors.Black, StrokeWidth = 1.2f, IsStroke = true };
    private readonly SKPaint _hair = new() { Color = new(0x76, 0x76, 0x76), StrokeWidth = 0.5f, IsStroke = true };

    private float Width => paper.Width - 2 * Margin;

    private float Bottom => paper.Height - Margin - FooterHeight;

    /// <summary>A paragraph, in one piece.</summary>
    public void Text(string text, float size, bool bold = false, bool keepWithNext = false)
    {
        var font = Font(size, bold);
        foreach (var line in Wrapped(text, font, Width)) Add(size * LineHeight, (canvas, y) => Draw(canvas, line, Margin, y + size, font), keepWithNext: true);
        Add(0.3f * size, static (_, _) => { }, keepWithNext);
    }

    public void Heading(string text)
    {
        var font = Font(14, bold: true);
        Add(10, static (_, _) => { });
        Add(24, (canvas, y) =>
        {
            Draw(canvas, text, Margin, y + 14, font);
            canvas.DrawLine(Margin, y + 19, Margin + Width, y + 19, _rule);
        }, keepWithNext: true);
    }

    public void Figure(ReportFigure figure, int number, float height)
    {
        var plot = CurvePlot.Draw(figure, Width, height);
        _owned.Add(plot);
        Add(height, (canvas, y) =>
        {
            canvas.Save();
            canvas.Translate(Margin, y);
            // The page is white already; filling it again would cover what stands above.
            plot.RenderManager.ClearCanvasBeforeEachRender = false;
            plot.Render(canvas, new PixelRect(0, Width, height, 0));
            canvas.Restore();
        }, keepWithNext: true);
        Text($"Figure {number}. {figure.Caption}", TextSize, bold: true);
    }

    /// <summary>A circuit, as large as the page lets it but no larger than its words need.</summary>
    public void Drawing(Schematic drawing)
    {
        const float MostScale = 1.05f, ShareOfPage = 0.86f;
        var scale = Math.Min(MostScale, Math.Min(Width / (float)drawing.Width, ShareOfPage * (Bottom - Margin) / (float)drawing.Height));
        SKFont plain = Font(1), bold = Font(1, bold: true);
        Add((float)drawing.Height * scale + 6, (canvas, y) =>
        {
            canvas.Save();
            canvas.Translate(Margin, y);
            canvas.Scale(scale);
            SchematicOnCanvas.Draw(drawing, canvas, plain, bold, _ink);
            canvas.Restore();
        }, keepWithNext: true);
        Text(drawing.Title, TextSize, bold: true);
    }

    public void Table(ReportTable table)
    {
        if (table.Columns.Count == 0)
        {
            List(table);
            return;
        }
        SKFont head = Font(TextSize, bold: true), body = Font(TextSize);
        var widths = Enumerable.Range(0, table.Columns.Count)
            .Select(i => Math.Max(head.MeasureText(table.Columns[i]), table.Rows.Select(r => body.MeasureText(r[i])).DefaultIfEmpty(0).Max()) + 14)
            .ToArray();
        // A table that is too wide is drawn smaller as a whole: its columns stay aligned.
        var scale = Math.Min(1, Width / widths.Sum());
        // Up to a page it stays in one piece; a longer one breaks where it must.
        var whole = table.Rows.Count * 16 * scale < 0.8f * paper.Height;
        Add(3, static (_, _) => { }, keepWithNext: true);
        if (table.Caption.Length > 0) Text(table.Caption, TextSize, bold: true, keepWithNext: true);
        var headings = Row(table.Columns, head, _rule, true);
        _blocks.Add(headings);
        for (var r = 0; r < table.Rows.Count; r++) _blocks.Add(Row(table.Rows[r], body, _hair, whole && r < table.Rows.Count - 1) with { Again = r > 0 ? headings : null });
        Add(6, static (_, _) => { });

        Block Row(IReadOnlyList<string> cells, SKFont font, SKPaint line, bool keepWithNext) => new(16 * scale, (canvas, y) =>
        {
            canvas.Save();
            canvas.Translate(Margin, y);
            canvas.Scale(scale);
            var x = 0f;
            for (var i = 0; i < cells.Count; i++)
            {
                // Names and units to the left, numbers to the right.
                Draw(canvas, cells[i], i < table.Words ? x : x + widths[i] - 7 - font.MeasureText(cells[i]), 11.5f, font);
                x += widths[i];
            }
            canvas.DrawLine(0, 15.5f, x, 15.5f, line);
            canvas.Restore();
        }, keepWithNext);
    }

    public void Write(SKDocument document, string footer)
    {
        var pages = Pages();
        var font = Font(FooterSize);
        for (var n = 0; n < pages.Count; n++)
        {
            var canvas = document.BeginPage(paper.Width, paper.Height);
            var y = Margin;
            foreach (var block in pages[n])
            {
                block.Draw(canvas, y);
                y += block.Height;
            }
            var number = $"page {n + 1} of {pages.Count}";
            var edge = font.MeasureText(number);
            canvas.DrawLine(Margin, Bottom + 6, Margin + Width, Bottom + 6, _hair);
            var foot = Bottom + 17;
            foreach (var line in Wrapped(footer, font, Width - edge - 12))
            {
                Draw(canvas, line, Margin, foot, font);
                foot += FooterSize * LineHeight;
            }
            Draw(canvas, number, Margin + Width - edge, Bottom + 17, font);
            document.EndPage();
        }
        document.Close();
    }

    public void Dispose()
    {
        foreach (var owned in _owned) owned.Dispose();
        foreach (var owned in (IDisposable[])[_ink, _rule, _hair]) owned.Dispose();
    }

    private void List(ReportTable table)
    {
        SKFont name = Font(TextSize, bold: true), text = Font(TextSize);
        var left = table.Rows.Max(r => name.MeasureText(r[0])) + 14;
        var together = KeptTogether;
        foreach (var row in table.Rows)
        {
            var first = true;
            foreach (var line in Wrapped(row[1], text, Width - left))
            {
                var label = first ? row[0] : "";
                Add(TextSize * LineHeight, (canvas, y) =>
                {
                    Draw(canvas, label, Margin, y + TextSize, name);
                    Draw(canvas, line, Margin + left, y + TextSize, text);
                }, keepWithNext: --together > 0);
                first = false;
            }
        }
        Add(4, static (_, _) => { });
    }

    private List<List<Block>> Pages()
    {
        List<List<Block>> pages = [[]];
        var y = Margin;
        for (var i = 0; i < _blocks.Count; i++)
        {
            // A heading goes with what it heads, a figure with its caption.
            var need = 0f;
            var last = i;
            while (last < _blocks.Count - 1 && _blocks[last].KeepWithNext) need += _blocks[last++].Height;
            need += _blocks[last].Height;
            if (y + need > Bottom && pages[^1].Count > 0)
            {
                pages.Add([]);
                y = Margin;
                if (_blocks[i].Again is { } again)
                {
                    pages[^1].Add(again);
                    y += again.Height;
                }
            }
            pages[^1].Add(_blocks[i]);
            y += _blocks[i].Height;
        }
        return pages;
    }

    private void Draw(SKCanvas canvas, string text, float x, float y, SKFont font) => canvas.DrawText(text, x, y, SKTextAlign.Left, font, _ink);

    private void Add(float height, Action<SKCanvas, float> draw, bool keepWithNext = false) => _blocks.Add(new(height, draw, keepWithNext));

    private SKFont Font(float size, bool bold = false)
    {
        // Advances of the outline and not of a screen's pixels.
        var font = new SKFont(bold ? _bold : _plain, size) { Subpixel = true, LinearMetrics = true, Hinting = SKFontHinting.None };
        _owned.Add(font);
        return font;
    }

    private static IEnumerable<string> Wrapped(string text, SKFont font, float width)
    {
        var line = "";
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var longer = line.Length == 0 ? word : $"{line} {word}";
            if (line.Length > 0 && font.MeasureText(longer) > width)
            {
                yield return line;
                longer = word;
            }
            line = longer;
        }
        yield return line;
    }

    /// <param name="Again">What stands above it once more where it begins a page: the headings of its table.</param>
    private sealed record Block(float Height, Action<SKCanvas, float> Draw, bool KeepWithNext, Block? Again = null);
}
