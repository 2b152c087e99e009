using System.Globalization;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>A line of a sheet: a word, places on the grid, and the rest of the line as text.</summary>
internal sealed record SheetItem(string Kind, string Ref, IReadOnlyList<(double X, double Y)> Places, string Text);

/// <summary>
/// A schematic drawing as it is written, one item a line:
/// <c>size W H</c>; <c>title TEXT</c>; <c>wire X,Y X,Y ...</c>; <c>dot X,Y</c>; <c>gnd X,Y</c>; <c>rail X,Y TEXT</c> and <c>negrail</c>; <c>port X,Y left|right|up TEXT</c>;
/// <c>text X,Y TEXT</c>; <c>box REF X,Y W,H TEXT</c> and <c>pin X,Y left|right NAME</c>; <c>resistor|capacitor|diode|zener|fuse|contact|link|coil REF X,Y right|down|up</c>;
/// <c>opamp|pmos|nmos|changeover REF X,Y</c>. Values are not written here: they come from the parts list.
/// </summary>
internal sealed record Sheet(string Title, double Width, double Height, IReadOnlyList<SheetItem> Items)
{
    private static readonly HashSet<string> WithoutRef = ["size", "title", "wire", "dot", "gnd", "rail", "negrail", "port", "text", "pin"];

    public static Sheet Read(string path)
    {
        var (title, width, height) = ("", 0.0, 0.0);
        var items = new List<SheetItem>();
        foreach (var line in File.ReadLines(path).Where(l => l.Length > 0))
        {
            var words = line.Split(' ');
            if (words[0] == "title") title = line["title ".Length..];
            else if (words[0] == "size") (width, height) = (Number(words[1]), Number(words[2]));
            else items.Add(Item(words));
        }
        return new(title, width, height, items);
    }

    private static SheetItem Item(string[] words)
    {
        var at = 1;
        var reference = WithoutRef.Contains(words[0]) ? "" : words[at++];
        var places = new List<(double, double)>();
        while (at < words.Length && words[at].Split(',') is [var x, var y] && double.TryParse(x, CultureInfo.InvariantCulture, out _) && double.TryParse(y, CultureInfo.InvariantCulture, out _))
        {
            places.Add((Number(x), Number(y)));
            at++;
        }
        if (places.Count == 0) throw new FormatException($"'{string.Join(' ', words)}' has no place; a place is written as X,Y.");
        return new(words[0], reference, places, string.Join(' ', words[at..]));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
