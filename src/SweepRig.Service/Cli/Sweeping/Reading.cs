using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Sweeping;

/// <summary>The newest sample of a run, in volts and amperes.</summary>
public readonly record struct Reading(double Drive, double Plate, double GridCurrent)
{
    /// <summary>The last sample of a block; null when it has none.</summary>
    public static Reading? Of(LiveBlockView block) =>
        block.Drive.Length == 0 ? null : new(block.Drive[^1], Last(block.Plate), Last(block.GridCurrent));

    private static double Last(double[] column) => column.Length == 0 ? double.NaN : column[^1];
}
