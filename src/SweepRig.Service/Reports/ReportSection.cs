using SweepRig.Logic.Drawing;

namespace SweepRig.Service.Reports;

/// <summary>One part of a report; each list may be empty.</summary>
public sealed record ReportSection(string Heading, IReadOnlyList<ReportFigure> Figures, IReadOnlyList<ReportTable> Tables, IReadOnlyList<string> Notes)
{
    /// <summary>What must be known before any number of the section; stands above them.</summary>
    public IReadOnlyList<string> Lead { get; init; } = [];

    /// <summary>Circuits, below the figures; each at most a page high.</summary>
    public IReadOnlyList<Schematic> Drawings { get; init; } = [];
}

/// <param name="Caption">Empty for none.</param>
/// <param name="Columns">Empty for a list of names and texts.</param>
/// <param name="Rows">First cell names the row.</param>
public sealed record ReportTable(string Caption, IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<string>> Rows)
{
    /// <summary>Leading columns that hold words and stand to the left; numbers behind them stand to the right.</summary>
    public int Words { get; init; } = 2;
}
