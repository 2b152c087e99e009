namespace SweepRig.Logic.Drawing;

/// <summary>A drawing of a circuit as lines and words, before it is written in any format. Origin at the upper left, y downwards; a unit is about a pixel.</summary>
/// <param name="Title">What is drawn.</param>
/// <param name="Describes">The same for whoever cannot see it: parts and signals in a sentence or two.</param>
public sealed record Schematic(
    string Title, string Describes, double Width, double Height, IReadOnlyList<DrawnPart> Parts, IReadOnlyList<DrawnWire> Wires, IReadOnlyList<Place> Dots,
    IReadOnlyList<DrawnFlag> Flags, IReadOnlyList<DrawnLabel> Labels);

/// <summary>A point of a drawing.</summary>
public readonly record struct Place(double X, double Y);

/// <summary>The symbol of one part.</summary>
/// <param name="Name">Of the part in its network; a rail that runs through several rows is drawn once and then only named.</param>
/// <param name="Pins">Where wires end at it.</param>
/// <param name="Shapes">Its lines.</param>
public sealed record DrawnPart(string Name, IReadOnlyList<DrawnPin> Pins, IReadOnlyList<DrawnShape> Shapes);

/// <param name="Node">Of the network.</param>
public sealed record DrawnPin(string Node, Place At);

/// <summary>A piece of a symbol.</summary>
public abstract record DrawnShape;

/// <param name="Points">Joined by straight lines.</param>
/// <param name="IsDashed">As grids are drawn.</param>
/// <param name="IsFilled">Closed and black.</param>
public sealed record DrawnPath(IReadOnlyList<Place> Points, bool IsDashed = false, bool IsFilled = false) : DrawnShape;

/// <param name="Radius">Of a circle.</param>
public sealed record DrawnCircle(Place Centre, double Radius) : DrawnShape;

/// <param name="Corner">Radius of its corners; 0 for a plain rectangle.</param>
public sealed record DrawnBox(double X, double Y, double Width, double Height, double Corner) : DrawnShape;

/// <summary>A straight wire, level or upright.</summary>
public sealed record DrawnWire(Place From, Place To);

/// <summary>The end of a wire at which its node is named: what bears the same name elsewhere is joined to it.</summary>
/// <param name="Node">Of the network; ground is drawn as its symbol.</param>
public sealed record DrawnFlag(string Node, Place At);

/// <summary>Which end of a text stands at its place.</summary>
public enum TextSide
{
    Start,
    Middle,
    End,
}

/// <param name="At">On the line of writing.</param>
/// <param name="Size">Of the letters. Unit: that of the drawing.</param>
public sealed record DrawnLabel(string Text, Place At, TextSide Side, double Size, bool IsBold)
{
    /// <summary>Room that it takes at most, in any usual typeface without serifs.</summary>
    public (double Left, double Top, double Right, double Bottom) Bounds
    {
        get
        {
            var width = TextWidth.Of(Text, Size, IsBold);
            var left = Side switch { TextSide.Start => At.X, TextSide.Middle => At.X - width / 2, _ => At.X - width };
            return (left, At.Y - 0.8 * Size, left + width, At.Y + 0.22 * Size);
        }
    }
}
