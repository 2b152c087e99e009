using System.Globalization;

namespace SweepRig.Domain.Stock;

/// <summary>The number of a tube as it is typed or scanned, with the section that is meant of a tube that has several, as in <c>SKUA-014/2</c>.</summary>
/// <param name="Label">The number written on the tube.</param>
/// <param name="Section">From 1; null where the whole tube is meant.</param>
public readonly record struct TubeNumber(string Label, int? Section)
{
    public const int MostSections = 3;

    /// <summary>Scanners end with a carriage return, people type small letters and spaces: none of it counts.</summary>
    public static TubeNumber Of(string typed)
    {
        ArgumentNullException.ThrowIfNull(typed);
        var number = string.Concat(typed.Where(c => !char.IsWhiteSpace(c) && !char.IsControl(c))).ToUpperInvariant();
        return Split(number);
    }

    /// <summary>As it stands in a run, where labels are kept as they were given.</summary>
    public static TubeNumber Split(string label)
    {
        ArgumentNullException.ThrowIfNull(label);
        return label.Length > 2 && label[^2] == '/' && label[^1] is >= '1' and <= (char)('0' + MostSections) ? new(label[..^2], label[^1] - '0') : new(label, null);
    }

    public override string ToString() => Section is { } n ? string.Create(CultureInfo.InvariantCulture, $"{Label}/{n}") : Label;

    /// <summary>The labels under which runs of a tube are kept: its number, and that of each section.</summary>
    public static IReadOnlyList<string> AllOf(string label) => [label, .. Enumerable.Range(1, MostSections).Select(n => new TubeNumber(label, n).ToString())];
}
