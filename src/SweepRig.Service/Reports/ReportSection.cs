namespace SweepRig.Service.Reports;

/// <summary>One part of a report; each list may be empty.</summary>
public sealed record ReportSection(string Heading, IReadOnlyList<ReportFigure> Figures, IReadOnlyList<ReportTable> Tables, IReadOnlyList<string> Notes)
{
    /// <summary>What must be known before any number of the section; stands above them.</summary>
    public IReadOnlyList<string> Lead { get; init; } = [];
}

/// <param name="Caption">Empty for none.</param>
/// <param name="Columns">Empty for a list of names and texts.</param>
/// <param name="Rows">First cell names the row.</param>
public sealed record ReportTable(string Caption, IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<string>> Rows);

/// <param name="Caption">What is to be seen.</param>
/// <param name="Horizontal">Quantity and unit.</param>
/// <param name="Vertical">Quantity and unit.</param>
public sealed record ReportFigure(string Caption, string Horizontal, string Vertical, IReadOnlyList<ReportCurve> Curves)
{
    /// <summary>Lines across the whole figure.</summary>
    public IReadOnlyList<ReportLine> Lines { get; init; } = [];
}

/// <param name="Label">Stands at the curve's end; short.</param>
/// <param name="X">Ascending; NaN where points are missing, which nothing joins over.</param>
/// <param name="Y">As many.</param>
public sealed record ReportCurve(string Label, double[] X, double[] Y)
{
    /// <summary>Dots instead of a line: for readings that have nothing between them.</summary>
    public bool IsDots { get; init; }

    /// <summary>Half width of a band about the curve, one a point; null for none.</summary>
    public double[]? HalfWidth { get; init; }
}

/// <param name="Y">In the unit of the figure.</param>
/// <param name="Label">Stands at its right end; empty for none.</param>
public sealed record ReportLine(double Y, string Label);
