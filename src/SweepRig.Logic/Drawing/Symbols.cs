namespace SweepRig.Logic.Drawing;

/// <summary>Graphic symbols for parts (IEC 60617: resistor as a rectangle, envelope with cathode, grids and plate; from memory). The heater is left out, as is usual.</summary>
internal static class Symbols
{
    /// <summary>From pin to pin of a part with two leads.</summary>
    public const double Length = 56;

    /// <summary>From the middle of a tube up to its plate pin and down to its cathode pin.</summary>
    public const double TubeRise = 46;

    /// <summary>From the middle of a tube to its grid pin and to its screen pin.</summary>
    public const double TubeReach = 40;

    /// <summary>Grid and screen below the middle of a tube.</summary>
    public const double GridDrop = 12, ScreenDrop = 2;

    private const double BodyHalf = 17, BodyWide = 6.5, PlateGap = 3.5, PlateHalf = 11, Envelope = 30, EnvelopeHalf = 37;

    /// <summary>Upright, from (x, y) down.</summary>
    public static IReadOnlyList<DrawnShape> Resistor(double x, double y) =>
    [
        Line((x, y), (x, y + Length / 2 - BodyHalf)),
        new DrawnBox(x - BodyWide, y + Length / 2 - BodyHalf, 2 * BodyWide, 2 * BodyHalf, 0),
        Line((x, y + Length / 2 + BodyHalf), (x, y + Length)),
    ];

    /// <summary>Level, from (x, y) to the right.</summary>
    public static IReadOnlyList<DrawnShape> LevelResistor(double x, double y, double length) =>
    [
        Line((x, y), (x + length / 2 - BodyHalf, y)),
        new DrawnBox(x + length / 2 - BodyHalf, y - BodyWide, 2 * BodyHalf, 2 * BodyWide, 0),
        Line((x + length / 2 + BodyHalf, y), (x + length, y)),
    ];

    public static IReadOnlyList<DrawnShape> Capacitor(double x, double y)
    {
        var middle = y + Length / 2;
        return
        [
            Line((x, y), (x, middle - PlateGap)), Line((x - PlateHalf, middle - PlateGap), (x + PlateHalf, middle - PlateGap)),
            Line((x - PlateHalf, middle + PlateGap), (x + PlateHalf, middle + PlateGap)), Line((x, middle + PlateGap), (x, y + Length)),
        ];
    }

    /// <summary>Anode above.</summary>
    public static IReadOnlyList<DrawnShape> Diode(double x, double y, bool anodeAbove)
    {
        var middle = y + Length / 2;
        var way = anodeAbove ? 1 : -1;
        return
        [
            Line((x, y), (x, middle - 9)), Line((x, middle + 9), (x, y + Length)),
            new DrawnPath([new(x - 9, middle - 9 * way), new(x + 9, middle - 9 * way), new(x, middle + 9 * way)], IsFilled: true),
            Line((x - 9, middle + 9 * way), (x + 9, middle + 9 * way)),
        ];
    }

    /// <summary>A source of voltage: a circle that its lead goes through, with a cross at plus.</summary>
    public static IReadOnlyList<DrawnShape> Source(double x, double y, bool plusAbove)
    {
        var mark = plusAbove ? y + 5 : y + Length - 5;
        return [Line((x, y), (x, y + Length)), new DrawnCircle(new(x, y + Length / 2), 15), Line((x + 5, mark), (x + 11, mark)), Line((x + 8, mark - 3), (x + 8, mark + 3))];
    }

    /// <summary>A tube about (x, y); pins where <see cref="TubeRise"/> and <see cref="TubeReach"/> say.</summary>
    /// <param name="screened">With screen and suppressor, which is tied to the cathode inside; false for a triode.</param>
    public static IReadOnlyList<DrawnShape> Tube(double x, double y, bool screened)
    {
        List<DrawnShape> shapes =
        [
            new DrawnBox(x - Envelope, y - EnvelopeHalf, 2 * Envelope, 2 * EnvelopeHalf, Envelope),
            Line((x, y - TubeRise), (x, y - 24)), Line((x - 15, y - 24), (x + 15, y - 24)),
            Line((x - TubeReach, y + GridDrop), (x - 17, y + GridDrop)), Grid(x, y + GridDrop),
            new DrawnPath([new(x - 13, y + 28), new(x - 13, y + 24), new(x + 13, y + 24), new(x + 13, y + 28)]), Line((x, y + 24), (x, y + TubeRise)),
        ];
        if (!screened) return shapes;
        shapes.AddRange(
        [
            Grid(x, y + ScreenDrop), Line((x + 17, y + ScreenDrop), (x + TubeReach, y + ScreenDrop)),
            Grid(x, y - 9), new DrawnPath([new(x - 17, y - 9), new(x - 23, y - 9), new(x - 23, y + 24), new(x - 13, y + 24)]),
        ]);
        return shapes;
    }

    /// <summary>Ground below (x, y).</summary>
    public static IReadOnlyList<DrawnShape> Ground(double x, double y) => [Line((x - 9, y), (x + 9, y)), Line((x - 5.5, y + 3.5), (x + 5.5, y + 3.5)), Line((x - 2, y + 7), (x + 2, y + 7))];

    private static DrawnPath Grid(double x, double y) => new([new(x - 17, y), new(x + 17, y)], IsDashed: true);

    private static DrawnPath Line((double X, double Y) from, (double X, double Y) to) => new([new(from.X, from.Y), new(to.X, to.Y)]);
}
