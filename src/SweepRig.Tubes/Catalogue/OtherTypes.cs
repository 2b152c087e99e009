using static SweepRig.Tubes.Catalogue.Confidence;
using static SweepRig.Tubes.Catalogue.RatingSystem;
using static SweepRig.Tubes.Catalogue.TypeEntry;

namespace SweepRig.Tubes.Catalogue;

/// <summary>Double triodes (limits for each section) and the pentagrid.</summary>
internal static class OtherTypes
{
    public static readonly IReadOnlyList<TubeType> All =
    [
        new("6J6", ["ECC91"], TubeKind.DoubleTriode, [Heater(6.3, 0.45)],
            [.. Plate(300, 1.5, NotStated, FromMemory), Cathode(15e-3, NotStated, FromMemory), HeaterCathode(90)],
            Pins("7BF", "pb pa h h g1a g1b k", FromMemorySure)),
        new("12AU7", ["ECC82"], TubeKind.DoubleTriode, [Heater(6.3, 0.30), Heater(12.6, 0.15)],
            [
                .. Plate(300, 2.75, NotStated, SeenInSecondarySource), Cathode(20e-3, NotStated, SeenInSecondarySource),
                HeaterCathode(180), HeaterCathode(200, DesignMaximum),
            ],
            Pins("9A", "pb g1b kb h h pa g1a ka ht", FromMemorySure)),
        new("12AT7", ["ECC81"], TubeKind.DoubleTriode, [Heater(6.3, 0.30), Heater(12.6, 0.15)],
            [.. Plate(300, 2.5, NotStated, FromMemorySure), Cathode(15e-3, NotStated, FromMemorySure), HeaterCathode(90)],
            Pins("9A", "pb g1b kb h h pa g1a ka ht", FromMemorySure)),
        new("6BE6", ["EK90"], TubeKind.Pentagrid, [Heater(6.3, 0.30)],
            [
                .. Plate(300, 1.0, DesignCentre, FromMemorySure), .. Plate(330, 1.1, DesignMaximum, FromMemorySure),
                .. Screen(100, 1.0, DesignCentre, FromMemorySure), .. Screen(110, 1.1, DesignMaximum, FromMemorySure),
                Cathode(14e-3, DesignCentre, FromMemorySure), Cathode(15.5e-3, DesignMaximum, FromMemorySure),
                HeaterCathode(90, DesignCentre, FromMemorySure), HeaterCathode(200, DesignMaximum, FromMemorySure),
            ],
            Pins("7CH", "g1 k+g5 h h p g2+g4 g3", FromMemorySure)),
    ];
}
