using MathNet.Numerics.Distributions;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Families;

/// <summary>Holds a run against what the load line of its resistor and rail gives on a surface. Pure.</summary>
public static class SurfaceChecker
{
    /// <param name="surface">Of other runs of the same tube, in the same connection.</param>
    /// <param name="run">Measured, with any plate resistor and rail.</param>
    /// <returns>Null where no point of the run lies within the surface.</returns>
    public static PredictionCheck? Of(PlateSurface surface, ModelRun run)
    {
        ArgumentNullException.ThrowIfNull(surface);
        ArgumentNullException.ThrowIfNull(run);
        var passes = run.Curves.Select(c => Of(surface, c, run.Known.Resistors[(int)ResistorPlace.Plate])).Where(p => p.Drive.Length > 0).ToArray();
        var points = passes.Sum(p => p.Drive.Length);
        if (points == 0) return null;
        // What the points share is not known: Bonferroni's bound holds whatever it is.
        var factor = Normal.InvCDF(0, 1, 1 - (1 - Coverage.Probability) / 2 / points);
        var all = passes.SelectMany(p => p.Drive.Select((drive, i) => (drive, Off: p.Measured[i] - p.Predicted[i], Allowed: factor * p.Uncertainty[i]))).ToArray();
        var worst = all.MaxBy(p => Math.Abs(p.Off) / p.Allowed);
        var within = all.Count(p => Math.Abs(p.Off) <= p.Allowed);
        return new(passes, factor, within == points, worst.drive, worst.Off, worst.Allowed, points, within);
    }

    private static CheckedPass Of(PlateSurface surface, Curve curve, ResistorUncertainty resistor)
    {
        List<double> drive = [], measured = [], predicted = [], uncertainty = [];
        for (var i = 0; i < curve.Count; i++)
        {
            // The rail as it was read: it sags under load, on a bench as on a board.
            if (!double.IsFinite(curve.Drive[i] + curve.Plate[i] + curve.Supply[i]) || curve.Flags[i].HasFlag(SampleFlags.Clipped)) continue;
            var line = new LoadLine(new Volts(curve.Supply[i]), new Ohms(resistor.Ohms), At(curve.SupplyUncertainty, i), resistor.UncertaintyOhms);
            if (surface.Meeting(curve.Drive[i], line) is not { } met) continue;
            drive.Add(curve.Drive[i]);
            measured.Add(curve.Plate[i]);
            predicted.Add(met.Plate);
            var reading = At(curve.PlateUncertainty, i);
            uncertainty.Add(Math.Sqrt(met.Uncertainty * met.Uncertainty + reading * reading));
        }
        return new(curve.Pass.Index, [.. drive], [.. measured], [.. predicted], [.. uncertainty]);
    }

    private static double At(double[] column, int i) => column.Length > 0 && double.IsFinite(column[i]) ? column[i] : 0;
}
