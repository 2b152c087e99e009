using System.Text;
using System.Text.RegularExpressions;

namespace SweepRig.Service.Cli.Terminal;

/// <summary>Breaks a line between words. Marks of <see cref="Ink"/> take no room.</summary>
public static partial class WrappedText
{
    private const int Further = 2;

    /// <param name="width">Columns, more than the indent of the line.</param>
    /// <returns>The line, or its parts, each after the first two columns further in.</returns>
    public static IEnumerable<string> Of(string line, int width)
    {
        if (Columns(line) <= width)
        {
            yield return line;
            yield break;
        }
        var indent = line.Length - line.TrimStart(' ').Length;
        var part = new StringBuilder(line[..indent]);
        var any = false;
        foreach (var word in NumberAndUnit().Replace(line[indent..], "$1\u00A0").Split(' ').Select(w => w.Replace('\u00A0', ' ')))
        {
            if (any && Columns(part.ToString()) + 1 + Columns(word) > width)
            {
                yield return part.ToString();
                part.Clear().Append(' ', indent + Further);
                any = false;
            }
            if (any) part.Append(' ');
            part.Append(word);
            any = true;
        }
        yield return part.ToString();
    }

    // A number and its unit stay together (ISO 80000-1, 7.1.4, has a space between them).
    [GeneratedRegex(@"(\d) (?=[µmkMnp]?(?:V|A|Ω|W|S|s|K|Hz|%)\b|%)")]
    private static partial Regex NumberAndUnit();

    private static int Columns(string text)
    {
        var columns = 0;
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] == '\u001b') i = Math.Max(i, text.IndexOf('m', i));
            else columns++;
        }
        return columns;
    }
}
