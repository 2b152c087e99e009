namespace SweepRig.Service.Reports;

/// <summary>How a report looks on a screen and on paper. No size of sheet is named, so that A4 and Letter both fit.</summary>
internal static class HtmlStyle
{
    /// <param name="footer">On every printed page, beside the page number (CSS Paged Media 3, margin boxes).</param>
    public static string Text(string footer) => $$"""

        :root { color-scheme: light; }
        body { margin: 0; background: #fff; color: #000; font: 16px/1.45 "DejaVu Sans", "Liberation Sans", "Noto Sans", Arial, Helvetica, sans-serif; }
        main, footer { max-width: 60rem; margin: 0 auto; padding: 0 1.25rem; }
        h1 { font-size: 2rem; margin: 1.25rem 0 0; }
        h2 { font-size: 1.25rem; margin: 1.5rem 0 .5rem; border-bottom: 2px solid #000; }
        header p { font-size: 1.1rem; margin: .25rem 0 0; }
        figure { margin: .75rem 0; }
        figure svg { width: 100%; height: auto; display: block; }
        figcaption { font-weight: 600; }
        .lead { font-weight: 600; }
        .wide { overflow-x: auto; }
        table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
        th, td { padding: .25rem .75rem; border-bottom: 1px solid #767676; text-align: left; white-space: nowrap; }
        td { text-align: right; }
        td:nth-child(2) { text-align: left; }
        thead th:nth-child(n+3) { text-align: right; }
        thead th.word, tbody td.word { text-align: left; }
        caption { text-align: left; font-weight: 600; }
        dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1rem; margin: 0; }
        dt { font-weight: 600; }
        dd { margin: 0; overflow-wrap: anywhere; }
        footer { border-top: 1px solid #767676; margin-top: 2rem; padding-top: .5rem; padding-bottom: 1rem; font-size: .85rem; overflow-wrap: anywhere; }
        @page { margin: 15mm 15mm 18mm; @bottom-left { content: "{{Quoted(footer)}}"; font: 8pt sans-serif; padding-right: 1em; } @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt sans-serif; white-space: nowrap; } }
        @media print {
          body { font-size: 11pt; }
          main { max-width: none; padding: 0; }
          footer { display: none; }
          h2 { break-after: avoid; }
          figure, table, dl, p { break-inside: avoid; }
          figure svg { max-height: 82mm; }
          figure.drawing svg { max-height: 220mm; }
          .wide { overflow: visible; }
        }

        """;

    private static string Quoted(string text) =>
        text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal).Replace("<", "\\3c ", StringComparison.Ordinal);
}
