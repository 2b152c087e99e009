namespace SweepRig.Analysis.Spice;

/// <summary>Names that every SPICE takes: a letter first, then letters, digits and underscores; case does not count.</summary>
public static class SpiceName
{
    private const int Longest = 48;

    /// <summary>A name made from a label such as <c>SKUA-014</c>: <c>tube_skua_014</c>.</summary>
    /// <exception cref="ArgumentException">The label holds neither letter nor digit.</exception>
    public static string Of(string label)
    {
        ArgumentNullException.ThrowIfNull(label);
        var kept = string.Concat(label.Select(c => char.IsAsciiLetterOrDigit(c) ? char.ToLowerInvariant(c) : '_')).Trim('_');
        if (kept.Length == 0) throw new ArgumentException($"The label '{label}' holds neither an ASCII letter nor a digit; give a name for the subcircuit.", nameof(label));
        return "tube_" + kept[..Math.Min(kept.Length, Longest)];
    }

    public static bool IsGood(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return name.Length is > 0 and <= Longest + 8 && char.IsAsciiLetter(name[0]) && name.All(c => char.IsAsciiLetterOrDigit(c) || c == '_');
    }

    internal static string Require(string name) => IsGood(name)
        ? name
        : throw new ArgumentException($"'{name}' is no name for a subcircuit; allowed is a letter, then up to {Longest} letters, digits and underscores.", nameof(name));
}
