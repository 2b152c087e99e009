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
    /// <summary>Lowest drive commanded, volts.</summary>
    public double MinDrive { get; init; } = double.NaN;

    /// <summary>Largest difference between drive read back and commanded, volts.</summary>
    public double ReadBackError { get; init; } = double.NaN;

    /// <summary>Smallest grid current, negative where it comes out of the grid; amperes.</summary>
    public double MinGridCurrent { get; init; } = double.NaN;

    /// <summary>Mean power in each electrode, watts.</summary>
    public double GridWatts { get; init; } = double.NaN;

    public double PlateWatts { get; init; } = double.NaN;

    public double ScreenWatts { get; init; } = double.NaN;

    /// <summary>Mean cathode current of the samples at the highest drive, amperes.</summary>
    public double CathodeAtTop { get; init; } = double.NaN;

    /// <summary>Samples.</summary>
    public int Count { get; init; }

    /// <summary>Samples at the end of the block that had a conversion at the end of its range.</summary>
    public int ClippedAtEnd { get; init; }

    /// <summary>The one code that a channel gave in the whole block; -1 where it gave several. Of plate and screen only while they carry current.</summary>
    public int GridCode { get; init; } = -1;

    public int PlateCode { get; init; } = -1;

    public int ScreenCode { get; init; } = -1;

    public int ReadBackCode { get; init; } = -1;

    /// <summary>Rig clock of the first and last sample, seconds.</summary>
    public double FirstSeconds { get; init; } = double.NaN;

    public double LastSeconds { get; init; } = double.NaN;

    /// <summary>Time between samples above 0 V.</summary>
    public double PositiveSeconds { get; init; }

    /// <summary>Grid current times that time.</summary>
    public double GridCoulombs { get; init; }

    public double FirstGridCurrent { get; init; }

    /// <summary>The first sample is above 0 V.</summary>
    public bool StartsPositive { get; init; }

    /// <param name="volts">The block, converted.</param>
    public static BlockSummary Of(SampleBlock block, BlockVolts volts, Calibrator calibrator)
    {
        var (readBack, error) = (double.NaN, double.NaN);
        var readBacks = block.Codes[(int)RigChannel.Drive];
        for (var i = 0; i < readBacks.Length; i++)
        {
            var drive = calibrator.Volts(RigChannel.Drive, readBacks[i]);
            if (!(drive <= readBack)) readBack = drive;
            var off = Math.Abs(drive - volts.Drive[i]);
            if (!(off <= error)) error = off;
        }
        var cathode = double.NaN;
        for (var i = 0; i < volts.PlateCurrent.Length; i++)
        {
            var amps = volts.PlateCurrent[i]
                + (volts.ScreenCurrent.Length > 0 ? volts.ScreenCurrent[i] : 0)
                + (volts.GridCurrent.Length > 0 ? Math.Max(0, volts.GridCurrent[i]) : 0);
            if (!(amps <= cathode)) cathode = amps;
        }
        var top = Max(volts.Drive);
        var positive = Positive(block, volts);
        return new(top, readBack, Max(volts.GridCurrent), cathode, Min(volts.Supply), Max(volts.Supply))
        {
            MinDrive = Min(volts.Drive),
            ReadBackError = error,
            MinGridCurrent = Min(volts.GridCurrent),
            GridWatts = Power(volts.Grid, volts.GridCurrent),
            PlateWatts = Power(volts.Plate, volts.PlateCurrent),
            ScreenWatts = Power(volts.Screen, volts.ScreenCurrent),
            CathodeAtTop = AtTop(volts, top),
            Count = block.Count,
            ClippedAtEnd = ClippedSamples(block.Flags),
            GridCode = OneCode(block.Codes[(int)RigChannel.Grid]),
            PlateCode = Carries(volts.Supply, volts.Plate) ? OneCode(block.Codes[(int)RigChannel.Plate]) : -1,
            ScreenCode = volts.ScreenCurrent.Length > 0 && Carries(volts.Supply, volts.Screen) ? OneCode(block.Codes[(int)RigChannel.Screen]) : -1,
            ReadBackCode = OneCode(readBacks),
            FirstSeconds = block.Count > 0 ? block.SampledAtTicks[0] * 1e-6 : double.NaN,
            LastSeconds = block.Count > 0 ? block.SampledAtTicks[^1] * 1e-6 : double.NaN,
            PositiveSeconds = positive.Seconds,
            GridCoulombs = positive.Coulombs,
            FirstGridCurrent = volts.GridCurrent.Length > 0 ? volts.GridCurrent[0] : 0,
            StartsPositive = block.Count > 0 && volts.Drive[0] > 0,
        };
    }

    /// <summary>Volts over a resistor above which it counts as carrying current.</summary>
    private const double CarryingVolts = 1;

    private static (double Seconds, double Coulombs) Positive(SampleBlock block, BlockVolts volts)
    {
        var (seconds, coulombs) = (0.0, 0.0);
        for (var i = 1; i < block.Count; i++)
        {
            if (!(volts.Drive[i] > 0)) continue;
            var span = (block.SampledAtTicks[i] - block.SampledAtTicks[i - 1]) * 1e-6;
            if (!(span > 0)) continue;
            seconds += span;
            if (volts.GridCurrent.Length > i) coulombs += span * Math.Max(0, volts.GridCurrent[i]);
        }
        return (seconds, coulombs);
    }

    private static double Power(double[] volts, double[] amps)
    {
        if (amps.Length == 0 || volts.Length != amps.Length) return double.NaN;
        var sum = 0.0;
        for (var i = 0; i < amps.Length; i++) sum += Math.Max(0, volts[i]) * Math.Max(0, amps[i]);
        return sum / amps.Length;
    }

    private static double AtTop(BlockVolts volts, double top)
    {
        var (sum, count) = (0.0, 0);
        for (var i = 0; i < volts.PlateCurrent.Length; i++)
        {
            if (volts.Drive[i] < top) continue;
            sum += volts.PlateCurrent[i] + (volts.ScreenCurrent.Length > 0 ? volts.ScreenCurrent[i] : 0) + (volts.GridCurrent.Length > 0 ? Math.Max(0, volts.GridCurrent[i]) : 0);
            count++;
        }
        return sum / count;
    }

    private static bool Carries(double[] supply, double[] volts)
    {
        if (supply.Length != volts.Length) return false;
        for (var i = 0; i < volts.Length; i++)
            if (!(supply[i] - volts[i] > CarryingVolts)) return false;
        return true;
    }

    private static int OneCode(ushort[] codes)
    {
        if (codes.Length == 0) return -1;
        foreach (var code in codes)
            if (code != codes[0]) return -1;
        return codes[0];
    }

    private static int ClippedSamples(SampleFlags[] flags)
    {
        var count = 0;
        for (var i = flags.Length - 1; i >= 0 && flags[i].HasFlag(SampleFlags.Clipped); i--) count++;
        return count;
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
