using SweepRig.Domain;

namespace SweepRig.Service.Reports.Labels;

/// <summary>Where the labels of a sheet lie. Unit: millimetres.</summary>
/// <param name="Paper">The sheet.</param>
/// <param name="Columns">Labels side by side, 1 or more.</param>
/// <param name="Rows">Labels one below the other, 1 or more.</param>
/// <param name="Width">Of one label.</param>
/// <param name="Height">Of one label.</param>
/// <param name="Left">From the edge of the sheet to the first column.</param>
/// <param name="Top">From the edge of the sheet to the first row.</param>
/// <param name="Across">Between two columns.</param>
/// <param name="Down">Between two rows.</param>
public sealed record LabelGrid(Paper Paper, int Columns, int Rows, double Width, double Height, double Left, double Top, double Across, double Down)
{
    /// <summary>Least that holds a code that a phone reads and a number that a person reads.</summary>
    public const double LeastWidth = 20, LeastHeight = 10;

    /// <summary>Label for whoever cuts a plain sheet with scissors.</summary>
    public const double UsualWidth = 48, UsualHeight = 26;

    // Printers leave a border; 5 mm is common practice, no source.
    private const double Border = 5, PerPoint = 25.4 / 72, Slack = 0.05;

    public int PerSheet => Columns * Rows;

    /// <summary>As many usual labels as fit within the border of a printer, in the middle of the sheet.</summary>
    public static LabelGrid Usual(Paper paper) => Of(paper, null, null, null, null, null);

    /// <summary>What is left out follows: size 48 by 26 mm, as many as fit, no gaps, the whole in the middle of the sheet. It may have faults.</summary>
    /// <param name="paper">The sheet.</param>
    /// <param name="columns">Side by side.</param>
    /// <param name="rows">One below the other.</param>
    /// <param name="label">Width and height, mm.</param>
    /// <param name="margin">Left and top, mm.</param>
    /// <param name="gap">Across and down, mm.</param>
    public static LabelGrid Of(Paper paper, int? columns, int? rows, (double, double)? label, (double, double)? margin, (double, double)? gap)
    {
        ArgumentNullException.ThrowIfNull(paper);
        var (sheetWidth, sheetHeight) = (paper.Width * PerPoint, paper.Height * PerPoint);
        var (width, height) = label ?? (UsualWidth, UsualHeight);
        var (across, down) = gap ?? (0, 0);
        var c = columns ?? Fit(sheetWidth, margin?.Item1, width, across);
        var r = rows ?? Fit(sheetHeight, margin?.Item2, height, down);
        return new(
            paper, c, r, width, height,
            margin?.Item1 ?? (sheetWidth - c * width - (c - 1) * across) / 2, margin?.Item2 ?? (sheetHeight - r * height - (r - 1) * down) / 2, across, down);
    }

    /// <summary>All that is wrong with it.</summary>
    public IEnumerable<Refusal> Faults()
    {
        if (Columns < 1 || Rows < 1)
            yield return new("no-label-fits", "/label", Text($"labels of {Width:0.##} by {Height:0.##} mm"), Text($"none of that size fits on {Paper.Name}"), "Give a smaller label.");
        if (Width < LeastWidth || Height < LeastHeight)
            yield return new("label-too-small", "/label", Text($"labels of {Width:0.##} by {Height:0.##} mm"), Text($"at least {LeastWidth} by {LeastHeight} mm are needed for a code that can be read"), "Take larger labels.");
        if (Columns < 1 || Rows < 1) yield break;
        foreach (var (what, needed, sheet) in new[]
        {
            ("columns", Math.Max(0, Left) + Columns * Width + (Columns - 1) * Across, Paper.Width * PerPoint),
            ("rows", Math.Max(0, Top) + Rows * Height + (Rows - 1) * Down, Paper.Height * PerPoint),
        })
        {
            if (needed > sheet + Slack)
            {
                yield return new("grid-off-the-sheet", "/grid", Text($"the {what} need {needed:0.##} mm with margin and gaps"), Text($"{Paper.Name} has {sheet:0.##} mm"),
                    "Compare columns, rows, label size, margins and gaps with the packet of the sheets.");
            }
        }
    }

    /// <summary>Left upper corner of a label, in points.</summary>
    /// <param name="place">From 0, row by row.</param>
    internal (float X, float Y) Corner(int place) =>
        (Points(Left + place % Columns * (Width + Across)), Points(Top + place / Columns * (Height + Down)));

    internal static float Points(double millimetres) => (float)(millimetres / PerPoint);

    private static int Fit(double sheet, double? margin, double label, double gap) => (int)Math.Floor((sheet - 2 * (margin ?? Border) + gap + Slack) / (label + gap));

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
