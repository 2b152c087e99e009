namespace SweepRig.Logic.Drawing;

/// <summary>How wide a text is at most, without a typeface at hand: by the widest of the usual ones.</summary>
internal static class TextWidth
{
    private const double Bold = 1.1;

    public static double Of(string text, double size, bool bold) => text.Sum(Em) * size * (bold ? Bold : 1);

    // Advances of DejaVu Sans, rounded up; Arial, Helvetica and Liberation Sans are narrower.
    private static double Em(char c) => c switch
    {
        'i' or 'j' or 'l' or 'I' or '.' or ',' or ' ' or '/' => 0.34,
        'f' or 't' or 'r' => 0.42,
        'm' or 'M' or 'W' or 'w' => 0.98,
        '+' or '−' or '=' or '<' or '>' => 0.84,
        '_' => 0.5,
        '-' => 0.37,
        >= '0' and <= '9' => 0.64,
        >= 'A' and <= 'Z' or 'Ω' => 0.78,
        _ => 0.64,
    };
}
