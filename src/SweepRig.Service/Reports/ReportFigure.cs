namespace SweepRig.Service.Reports;

/// <param name="Caption">What is to be seen.</param>
/// <param name="Horizontal">Quantity and unit.</param>
/// <param name="Vertical">Quantity and unit.</param>
public sealed record ReportFigure(string Caption, string Horizontal, string Vertical, IReadOnlyList<ReportCurve> Curves)
{
    /// <summary>Lines across the whole figure.</summary>
    public IReadOnlyList<ReportLine> Lines { get; init; } = [];

    /// <summary>Bars that stand on 0.</summary>
    public IReadOnlyList<ReportBar> Bars { get; init; } = [];

    /// <summary>Limits of what is counted along the horizontal axis.</summary>
    public IReadOnlyList<ReportLimit> Limits { get; init; } = [];

    /// <summary>Readings that have nothing to do with 0: the figure shows what they span.</summary>
    public bool IsCloud { get; init; }

    /// <summary>One of several of its kind: half as high as others.</summary>
    public bool IsSmall { get; init; }
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

/// <param name="From">Left edge, in the unit of the figure.</param>
/// <param name="To">Right edge.</param>
/// <param name="Height">Above 0.</param>
public sealed record ReportBar(double From, double To, double Height);

/// <param name="X">In the unit of the figure.</param>
/// <param name="Label">Stands at its upper end.</param>
/// <param name="Guard">Width of the guard band, drawn from <paramref name="X"/> to the side that is let through; below 0 to the left, 0 for none.</param>
public sealed record ReportLimit(double X, string Label, double Guard);
