using static SweepRig.Tubes.Catalogue.Confidence;
using static SweepRig.Tubes.Catalogue.RatingSystem;
using static SweepRig.Tubes.Catalogue.TypeEntry;

namespace SweepRig.Tubes.Catalogue;

internal static class PentodeTypes
{
    public static readonly IReadOnlyList<TubeType> All =
    [
        new("EF91", ["6AM6"], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.30)],
            [.. Plate(300, 2.5, NotStated, FromMemory), .. Screen(300, 0.65, NotStated, FromMemory), Cathode(15e-3, NotStated, FromMemory), HeaterCathode(150)],
            Pins("7DB", "g1 k h h p g3+s g2", FromMemory)),
        new("6BH6", [], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.15)],
            [.. Plate(300, 3.0, NotStated, FromMemory), .. ScreenFromSupply(300, 0.5, NotStated, FromMemory), HeaterCathode(90)],
            Pins("7CM", "g1 k h h p g2 g3+s", FromMemory),
            ExampleTubes.Sound6BH6),
        new("6AU6", ["EF94"], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.30)],
            [
                .. Plate(300, 3.0, DesignCentre, FromMemory), .. Plate(330, 3.5, DesignMaximum, FromMemory),
                .. ScreenFromSupply(300, 0.65, DesignCentre, FromMemory), .. ScreenFromSupply(330, 0.75, DesignMaximum, FromMemory),
                HeaterCathode(90, DesignCentre), HeaterCathode(200, DesignMaximum),
            ],
            Pins("7BK", "g1 g3+s h h p g2 k", FromMemorySure),
            ExampleTubes.Sound6AU6),
        new("6AK5", ["EF95", "5654"], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.175)],
            [
                .. Plate(180, 1.7, NotStated, FromMemorySure), .. Screen(140, 0.5, NotStated, FromMemorySure),
                new(RatingKind.PlateVoltage, 200, AbsoluteMaximum, FromMemorySure), new(RatingKind.ScreenVoltage, 155, AbsoluteMaximum, FromMemorySure),
                Cathode(18e-3, NotStated, FromMemorySure), Cathode(20e-3, AbsoluteMaximum, FromMemorySure),
                HeaterCathode(90, NotStated, FromMemorySure), HeaterCathode(100, AbsoluteMaximum, FromMemorySure),
            ],
            Pins("7BD", "g1 k+g3 h h p g2 k+g3", FromMemorySure)),
        new("6CB6", [], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.30)],
            [
                .. Plate(300, 2.0, DesignCentre, FromMemory), .. Plate(330, 2.3, DesignMaximum, FromMemory),
                .. ScreenFromSupply(300, 0.5, DesignCentre, FromMemory), .. ScreenFromSupply(330, 0.55, DesignMaximum, FromMemory),
                HeaterCathode(200),
            ],
            Pins("7CM", "g1 k h h p g2 g3+s", FromMemory)),
        new("EF80", ["6BX6"], TubeKind.SharpCutoffPentode, [Heater(6.3, 0.30)],
            [
                .. Plate(300, 2.5, NotStated, FromMemorySure), .. Screen(300, 0.7, NotStated, FromMemorySure), Cathode(15e-3, NotStated, FromMemorySure),
                HeaterCathode(150, NotStated, FromMemorySure),
            ],
            Pins("9BQ", "k g1 k h h s p g2 g3", FromMemorySure)),
        new("6BA6", ["EF93"], TubeKind.RemoteCutoffPentode, [Heater(6.3, 0.30)],
            [
                .. Plate(300, 3.0, DesignCentre, FromMemorySure), .. Plate(330, 3.4, DesignMaximum, FromMemorySure),
                .. ScreenFromSupply(300, 0.6, DesignCentre, FromMemorySure), new(RatingKind.ScreenDissipation, 0.7, DesignMaximum, FromMemorySure),
                HeaterCathode(90, DesignCentre, FromMemorySure), HeaterCathode(200, DesignMaximum, FromMemorySure),
            ],
            Pins("7BK", "g1 g3+s h h p g2 k", FromMemorySure)),
    ];
}
