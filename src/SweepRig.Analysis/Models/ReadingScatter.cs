using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Models;

/// <summary>Standard deviation of single readings of a channel, from the readings themselves or as the rig told it of each.</summary>
internal static class ReadingScatter
{
    // Nothing is known better than this, whatever the readings look like: an exact curve still gets a finite weight.
    private const double LeastVolts = 1e-6;

    // Of a thousand normal differences one lies so far off by chance.
    private const double FarOff = 3.3;

    /// <summary>
    /// From the median of third differences of neighbours, which a curve of many points hardly shows in (their variance is 20 times that of a reading), those left out
    /// that its bends make far larger than the rest; at least what the resolution leaves. NaN below eight neighbours.
    /// </summary>
    public static double Of(double[] column, double resolutionVolts)
    {
        List<double> differences = new(column.Length);
        for (var i = 3; i < column.Length; i++)
        {
            var third = column[i] - 3 * column[i - 1] + 3 * column[i - 2] - column[i - 3];
            if (!double.IsNaN(third)) differences.Add(Math.Abs(third));
        }
        if (differences.Count < 5) return double.NaN;
        differences.Sort();
        // Where the curve is steep against its steps its own bend stands in the differences: those far off the others are left out until none is.
        var count = differences.Count;
        double median;
        for (;;)
        {
            median = differences[count / 2];
            var kept = count;
            while (kept > 5 && differences[kept - 1] > FarOff * 1.4826 * median) kept--;
            if (kept == count) break;
            count = kept;
        }
        return Math.Max(1.4826 * median / Math.Sqrt(20), Math.Max(resolutionVolts, LeastVolts));
    }

    /// <summary>
    /// What the readings are told to be uncertain by without the calibration: resolution, and the spread of the conversions that each is the average of. At least what the
    /// resolution leaves; 0.1 mV where nothing is told.
    /// </summary>
    public static double Told(IReadOnlyList<Curve> curves, VoltagePlace place, MeasurementUncertainty known, double resolutionVolts)
    {
        List<double> all = [];
        foreach (var curve in curves)
        {
            var (volts, uncertainty) = (Column(curve, place), place switch
            {
                VoltagePlace.Grid => curve.GridUncertainty,
                VoltagePlace.Screen => curve.ScreenUncertainty,
                VoltagePlace.Supply => curve.SupplyUncertainty,
                _ => curve.PlateUncertainty,
            });
            for (var i = 0; i < uncertainty.Length; i++)
            {
                var calibration = known.Voltages[(int)place]?.At(volts[i]) ?? 0;
                var square = uncertainty[i] * uncertainty[i] - calibration * calibration;
                if (square >= 0) all.Add(Math.Sqrt(square));
            }
        }
        if (all.Count == 0) return Math.Max(1e-4, resolutionVolts);
        // Where the output falls it scatters more, for the noise of the drive comes amplified: the mean square is what a fit that weighs all alike needs.
        var own = Math.Sqrt(all.Average(s => s * s));
        return Math.Max(own, Math.Max(resolutionVolts, LeastVolts));
    }

    public static double[] Column(Curve curve, VoltagePlace place) => place switch
    {
        VoltagePlace.Grid => curve.Grid,
        VoltagePlace.Screen => curve.Screen,
        VoltagePlace.Supply => curve.Supply,
        _ => curve.Plate,
    };

    /// <summary>True where any channel that the fit uses was at the end of its converter's range.</summary>
    public static bool IsClipped(Curve curve, int point) => curve.Flags[point].HasFlag(SampleFlags.Clipped);
}
