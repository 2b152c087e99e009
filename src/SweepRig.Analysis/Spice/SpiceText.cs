using System.Globalization;
using System.Text;

namespace SweepRig.Analysis.Spice;

/// <summary>Lines of a SPICE3 deck: comments kept inside their line, long statements continued with +, numbers in full.</summary>
/// <remarks>Numbers never carry a unit letter: in SPICE the letter M means milli, whatever its case.</remarks>
internal sealed class SpiceText
{
    private const int Width = 100;

    private readonly StringBuilder _text = new();

    /// <summary>A number for people.</summary>
    public static string N(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    /// <summary>A number for a formula: a sign cannot meet an operator.</summary>
    public static string F(double value) => value < 0 ? $"({N(value)})" : N(value);

    /// <summary>A comment, broken between words. What comes from users cannot end the comment: control characters become spaces, and what is not ASCII a question mark.</summary>
    public void Comment(string words)
    {
        var line = new StringBuilder("*");
        foreach (var word in Plain(words).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 1 && line.Length + word.Length >= Width)
            {
                _text.Append(line).Append('\n');
                line.Clear().Append("*  ");
            }
            line.Append(' ').Append(word);
        }
        _text.Append(line).Append('\n');
    }

    public void Statement(string statement)
    {
        var start = 0;
        while (statement.Length - start > Width && Break(statement, start) is { } at)
        {
            _text.Append(start == 0 ? "" : "+ ").Append(statement, start, at - start).Append('\n');
            start = at;
        }
        _text.Append(start == 0 ? "" : "+ ").Append(statement, start, statement.Length - start).Append('\n');
    }

    public override string ToString() => _text.ToString();

    // Only before * and /: a sign may belong to an exponent, and a + could be taken for the mark of the continuation.
    private static int? Break(string statement, int start)
    {
        var at = statement.LastIndexOfAny(['*', '/'], start + Width);
        return at > start + Width / 4 ? at : null;
    }

    private static string Plain(string words) => string.Concat(words.Select(c => c switch
    {
        _ when char.IsControl(c) || char.IsSeparator(c) => " ",
        _ when char.IsAscii(c) => c.ToString(),
        '\u03a9' or '\u2126' => "ohm",
        '\u00b5' or '\u03bc' => "u",
        _ => "?",
    }));
}
