namespace SweepRig.Wire.Exploration;

/// <summary>What stands around the rig: classes of what its converter reads, and the emergency stop.</summary>
internal enum Around : byte
{
    /// <summary>Rail at 28 V, a little plate current, the grid at 0 V.</summary>
    Quiet,

    /// <summary>The emergency stop is pressed.</summary>
    Stop,

    /// <summary>The grid hangs at -20 V: too much grid current while the drive is high, nothing wrong at rest.</summary>
    GridOver,

    /// <summary>The rail is above its limit, at rest too.</summary>
    RailOver,

    /// <summary>The drive reads as far above its ceiling.</summary>
    ReadBackAbove,

    /// <summary>The drive reads as far below what was asked for.</summary>
    ReadBackBelow,

    /// <summary>The plate hangs at 0 V: too much cathode current through the resistor that a sweep names, nothing wrong before that.</summary>
    CathodeOver,
}

internal static class Surrounding
{
    public const int Count = 7;

    public static Surroundings Of(Around around)
    {
        var quiet = new Surroundings { Plate = 2400, Grid = 2048, Screen = 2799, Supply = 2800, Follows = 1 };
        switch (around)
        {
            case Around.Stop:
                quiet.Stop = 1;
                break;
            case Around.GridOver:
                quiet.Grid = 0;
                break;
            case Around.RailOver:
                (quiet.Supply, quiet.Screen) = (4095, 4094);
                break;
            case Around.ReadBackAbove:
                (quiet.Follows, quiet.ReadBack) = (0, 4095);
                break;
            case Around.ReadBackBelow:
                quiet.Follows = 0;
                break;
            case Around.CathodeOver:
                quiet.Plate = 0;
                break;
            default:
                break;
        }
        return quiet;
    }
}
