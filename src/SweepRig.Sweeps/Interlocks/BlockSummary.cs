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
        var readBack = ReadBack(block.Codes[(int)RigChannel.Drive], volts.Drive, calibrator);
        var top = Max(volts.Drive);
        var positive = Positive(block, volts);
        return new(top, readBack.Highest, Max(volts.GridCurrent), MaxCathode(volts), Min(volts.Supply), Max(volts.Supply))
        {
            MinDrive = Min(volts.Drive),
            ReadBackError = readBack.Error,
            MinGridCurrent = Min(volts.GridCurrent),
            GridWatts = Power(volts.Grid, volts.GridCurrent),
            PlateWatts = Power(volts.Plate, volts.PlateCurrent),
            ScreenWatts = Power(volts.Screen, volts.ScreenCurrent),
            CathodeAtTop = AtTop(volts, top),
            Count = block.Count,
            ClippedAtEnd = ClippedSamples(block.Flags),
            GridCode = OneCode(block.Codes[(int)RigChannel.Grid]),
            PlateCode = Carries(volts.Supply, volts.Plate, volts.PlateCurrent) ? OneCode(block.Codes[(int)RigChannel.Plate]) : -1,
            ScreenCode = Carries(volts.Supply, volts.Screen, volts.ScreenCurrent) ? OneCode(block.Codes[(int)RigChannel.Screen]) : -1,
            ReadBackCode = OneCode(block.Codes[(int)RigChannel.Drive]),
            FirstSeconds = block.Count > 0 ? block.SampledAtTicks[0] * 1e-6 : double.NaN,
            LastSeconds = block.Count > 0 ? block.SampledAtTicks[^1] * 1e-6 : double.NaN,
            PositiveSeconds = positive.Seconds,
            GridCoulombs = positive.Coulombs,
            FirstGridCurrent = Amps(volts.GridCurrent, 0),
            StartsPositive = block.Count > 0 && volts.Drive[0] > 0,
        };
    }

    /// <summary>Volts over a resistor above which it counts as carrying current.</summary>
    private const double CarryingVolts = 1;

    private static (double Highest, double Error) ReadBack(ushort[] codes, double[] drive, Calibrator calibrator)
    {
        var (highest, error) = (double.NaN, double.NaN);
        for (var i = 0; i < codes.Length; i++)
        {
            var volts = calibrator.Volts(RigChannel.Drive, codes[i]);
            highest = double.MaxNumber(highest, volts);
            error = double.MaxNumber(error, Math.Abs(volts - drive[i]));
        }
        return (highest, error);
    }

    private static (double Seconds, double Coulombs) Positive(SampleBlock block, BlockVolts volts)
    {
        var (seconds, coulombs) = (0.0, 0.0);
        for (var i = 1; i < block.Count; i++)
        {
            if (!(volts.Drive[i] > 0)) continue;
            // A clock that went back, which has a rule of its own, takes nothing off.
            var span = Math.Max(0, (block.SampledAtTicks[i] - block.SampledAtTicks[i - 1]) * 1e-6);
            seconds += span;
            coulombs += span * Math.Max(0, Amps(volts.GridCurrent, i));
        }
        return (seconds, coulombs);
    }

    /// <returns>NaN where nothing was measured: 0 by 0.</returns>
    private static double Power(double[] volts, double[] amps)
    {
        var sum = 0.0;
        for (var i = 0; i < amps.Length; i++) sum += Math.Max(0, volts[i]) * Math.Max(0, amps[i]);
        return sum / amps.Length;
    }

    /// <returns>NaN where nothing was measured: 0 by 0.</returns>
    private static double AtTop(BlockVolts volts, double top)
    {
        var (sum, count) = (0.0, 0);
        for (var i = 0; i < volts.PlateCurrent.Length; i++)
        {
            if (volts.Drive[i] < top) continue;
            sum += Cathode(volts, i);
            count++;
        }
        return sum / count;
    }

    private static double MaxCathode(BlockVolts volts)
    {
        var max = double.NaN;
        for (var i = 0; i < volts.PlateCurrent.Length; i++) max = double.MaxNumber(max, Cathode(volts, i));
        return max;
    }

    /// <summary>What leaves the cathode at one sample; a current out of the grid comes from elsewhere.</summary>
    private static double Cathode(BlockVolts volts, int i) => volts.PlateCurrent[i] + Amps(volts.ScreenCurrent, i) + Math.Max(0, Amps(volts.GridCurrent, i));

    /// <returns>0 where it was not measured.</returns>
    private static double Amps(double[] current, int i) => i < current.Length ? current[i] : 0;

    /// <summary>True when an electrode whose current was measured takes some at every sample.</summary>
    private static bool Carries(double[] supply, double[] volts, double[] amps)
    {
        for (var i = 0; i < amps.Length; i++)
            if (!(supply[i] - volts[i] > CarryingVolts)) return false;
        return amps.Length > 0;
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
        foreach (var value in values) min = double.MinNumber(min, value);
        return min;
    }

    private static double Max(double[] values)
    {
        var max = double.NaN;
        foreach (var value in values) max = double.MaxNumber(max, value);
        return max;
    }
}
