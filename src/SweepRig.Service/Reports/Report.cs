namespace SweepRig.Service.Reports;

/// <summary>What a report says, before it is laid out as HTML or PDF.</summary>
/// <param name="Title">What it is about: a tube, a lot.</param>
/// <param name="Subtitle">The first to know of it, in one line.</param>
/// <param name="Sections">In order.</param>
/// <param name="Footer">Where it comes from; stands on every page.</param>
public sealed record Report(string Title, string Subtitle, IReadOnlyList<ReportSection> Sections, string Footer)
{
    /// <summary>All text that is drawn.</summary>
    public IEnumerable<string> Words() =>
    [
        Title, Subtitle, Footer,
        .. Sections.SelectMany(s => (string[])
        [
            s.Heading, .. s.Lead, .. s.Notes, .. s.Drawings.SelectMany(d => (string[])[d.Title, .. d.Labels.Select(l => l.Text)]), .. s.Tables.SelectMany(t => (string[])[t.Caption, .. t.Columns, .. t.Rows.SelectMany(r => r)]),
            .. s.Figures.SelectMany(f => (string[])[f.Caption, f.Horizontal, f.Vertical, .. f.Curves.Select(c => c.Label), .. f.Lines.Select(l => l.Label), .. f.Limits.Select(l => l.Label)]),
        ]),
    ];
}
