using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Screening;

/// <summary>The few quick looks that the program needs to go on; figures and verdicts are made by the analysis.</summary>
public static class ScreeningLooks
{
    /// <summary>A tube that conducts less at 0 V drive is not worth going on with. Common practice, no source.</summary>
    public static double LeastAmps => 20e-6;

    /// <summary>An insulation below this is a short (illustrative).</summary>
    private const double ShortOhms = 3_000;

    /// <summary>Less than this over the insulation tells nothing.</summary>
    private const double LeastVolts = 1.5;

    /// <summary>What is shorted, for people; null where nothing is. The tube is cold, so that whatever flows is insulation.</summary>
    public static string? ShortIn(Curve curve, Connection fixture)
    {
        for (var i = 0; i < curve.Count; i++)
        {
            if (double.IsNaN(curve.Drive[i])) continue;
            double grid = curve.GridCurrent[i], gridDrop = curve.Drive[i] - curve.Grid[i];
            if (Math.Abs(curve.Drive[i]) > LeastVolts && Math.Abs(gridDrop) > Math.Abs(curve.Drive[i]) * fixture.GridStopper.Value / (fixture.GridStopper.Value + ShortOhms))
                return $"grid 1 is shorted to another electrode ({new Amps(grid)} at {new Volts(curve.Drive[i])} drive, cold)";
            if (curve.Supply[i] < LeastVolts) continue;
            if (curve.Plate[i] < curve.Supply[i] * ShortOhms / (fixture.PlateResistor.Value + ShortOhms))
                return $"the plate is shorted to another electrode ({new Volts(curve.Plate[i])} of {new Volts(curve.Supply[i])}, cold)";
            // The screen resistor is small: a short as good as ten of it shows.
            if (fixture.Kind == ConnectionKind.Pentode && curve.Screen[i] < curve.Supply[i] * 0.9)
                return $"the screen is shorted to another electrode ({new Volts(curve.Screen[i])} of {new Volts(curve.Supply[i])}, cold)";
        }
        return null;
    }

    /// <summary>Mean plate current of the last tenth.</summary>
    public static double CurrentAtEnd(Curve curve)
    {
        double sum = 0;
        var count = 0;
        for (var i = curve.Count - Math.Max(1, curve.Count / 10); i < curve.Count; i++)
        {
            if (double.IsNaN(curve.PlateCurrent[i])) continue;
            sum += curve.PlateCurrent[i];
            count++;
        }
        return count == 0 ? 0 : sum / count;
    }

    /// <summary>Drive at which the output falls most steeply, by lines through seven points.</summary>
    public static double SteepestDrive(Curve transfer)
    {
        const int half = 3;
        double steepest = 0, at = 0;
        for (var i = half; i < transfer.Count - half; i++)
        {
            double slope = 0;
            for (var k = 1; k <= half; k++) slope += k * (transfer.Plate[i + k] - transfer.Plate[i - k]);
            if (double.IsNaN(slope) || slope >= steepest) continue;
            (steepest, at) = (slope, transfer.Drive[i]);
        }
        return at;
    }
}
