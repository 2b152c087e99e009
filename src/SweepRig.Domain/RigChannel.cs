namespace SweepRig.Domain;

/// <summary>A measured voltage of the rig. The number is the channel's place on the link and in a stored block.</summary>
public enum RigChannel
{
    /// <summary>Plate pin, behind the plate resistor: the output of the stage.</summary>
    Plate = 0,

    /// <summary>Grid-1 pin, behind the grid stopper.</summary>
    Grid = 1,

    /// <summary>Screen pin, behind the screen resistor; in triode connection the plate again.</summary>
    Screen = 2,

    /// <summary>The plate rail itself.</summary>
    Supply = 3,

    /// <summary>Read-back of the drive before the grid stopper.</summary>
    Drive = 4,
}

public static class RigChannels
{
    public const int Count = 5;

    /// <summary>All channels, in link order.</summary>
    public static IReadOnlyList<RigChannel> All { get; } = [RigChannel.Plate, RigChannel.Grid, RigChannel.Screen, RigChannel.Supply, RigChannel.Drive];
}
