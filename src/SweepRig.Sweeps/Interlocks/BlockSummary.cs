using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>The extremes of one block; NaN where nothing was measured, which breaks no limit.</summary>
/// <param name="MaxDrive">Highest drive commanded, volts.</param>
/// <param name="MaxReadBack">Highest drive read back, volts.</param>
/// <param name="MaxGridCurrent">Amperes.</param>
/// <param name="MaxCathodeCurrent">Amperes, grid, screen and plate together.</param>
/// <param name="MinSupply">Volts.</param>
/// <param name="MaxSupply">Volts.</param>
public readonly record struct BlockSummary(
    double MaxDrive,
    double MaxReadBack,
    double MaxGridCurrent,
    double MaxCathodeCurrent,
    double MinSupply,
    double MaxSupply)
{
    /// <param name="volts">The block, converted.</param>
    public static BlockSummary Of(SampleBlock block, BlockVolts volts, Calibrator calibrator)
    {
        var readBack = double.NaN;
        foreach (var code in block.Codes[(int)RigChannel.Drive])
        {
            var drive = calibrator.Volts(RigChannel.Drive, code);
            if (!(drive <= readBack)) readBack = drive;
        }
        var cathode = double.NaN;
        for (var i = 0; i < volts.PlateCurrent.Length; i++)
        {
            var amps = volts.PlateCurrent[i]
                + (volts.ScreenCurrent.Length > 0 ? volts.ScreenCurrent[i] : 0)
                + (volts.GridCurrent.Length > 0 ? Math.Max(0, volts.GridCurrent[i]) : 0);
            if (!(amps <= cathode)) cathode = amps;
        }
        return new(Max(volts.Drive), readBack, Max(volts.GridCurrent), cathode, Min(volts.Supply), Max(volts.Supply));
    }

    private static double Min(double[] values)
    {
        var min = double.NaN;
        foreach (var value in values)
            if (!(value >= min)) min = value;
        return min;
    }

    private static double Max(double[] values)
    {
        var max = double.NaN;
        foreach (var value in values)
            if (!(value <= max)) max = value;
        return max;
    }
}
