namespace SweepRig.Domain.Stock;

/// <summary>Tubes that were bought together.</summary>
/// <param name="Name">Unique in the stock.</param>
/// <param name="Prefix">What the numbers of its tubes begin with.</param>
/// <param name="TypeName">Null for a mixed lot.</param>
/// <param name="Origin">Where it comes from; null where nobody said.</param>
/// <param name="Price">As it was written down, with its currency.</param>
/// <param name="Note">Anything else.</param>
/// <param name="BookedUtc">When it came into the stock.</param>
public sealed record Lot(string Name, string Prefix, string? TypeName, string? Origin, string? Price, string? Note, DateTimeOffset BookedUtc)
{
    public const int LongestName = 40;
    public const int LongestPrefix = 12;
    public const int MostTubes = 9_999;

    /// <summary>The number of a tube: prefix and a count of three digits or more, for example <c>SKUA-014</c>.</summary>
    public string Label(int ordinal) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Prefix}-{ordinal:000}");

    /// <summary>Which of its tubes has a number, from 1; null for a number of another lot or one that is not written so.</summary>
    public int? OrdinalOf(string label)
    {
        ArgumentNullException.ThrowIfNull(label);
        var dash = label.LastIndexOf('-');
        return int.TryParse(label.AsSpan(dash + 1), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var ordinal)
            && ordinal is >= 1 and <= MostTubes && Label(ordinal) == label ? ordinal : null;
    }

    /// <summary>The prefix that a name gives: its letters and digits in capitals; null where it has none.</summary>
    public static string? PrefixOf(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var letters = new string([.. name.ToUpperInvariant().Where(c => char.IsAsciiLetterUpper(c) || char.IsAsciiDigit(c)).Take(LongestPrefix)]);
        return letters.Length == 0 ? null : letters;
    }

    /// <summary>All that is wrong with it.</summary>
    public IEnumerable<Refusal> Faults()
    {
        if (!IsLine(Name, LongestName)) yield return new("bad-lot", "/name", $"the lot is called \"{Name}\"", $"a name of 1 to {LongestName} characters is needed", "Give it a short name.");
        if (Prefix.Length is 0 or > LongestPrefix || !Prefix.All(c => char.IsAsciiLetterUpper(c) || char.IsAsciiDigit(c)))
        {
            yield return new("bad-prefix", "/prefix", $"the numbers are to begin with \"{Prefix}\"", $"1 to {LongestPrefix} capital letters A to Z and digits are needed",
                "Choose one that is quickly read and typed.");
        }
        foreach (var (path, text) in new[] { ("/origin", Origin), ("/price", Price), ("/note", Note) })
        {
            if (text is not null && !IsLine(text, TubeChange.LongestText))
                yield return new("bad-text", path, $"{path[1..]} has {text.Length} characters", $"one line of 1 to {TubeChange.LongestText} characters is allowed", "Make it shorter, or leave it out.");
        }
    }

    private static bool IsLine(string text, int longest) => !string.IsNullOrWhiteSpace(text) && text.Length <= longest && !text.Any(char.IsControl);
}
