using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Calibration;

/// <summary>Puts the blocks of a pass into one curve. Missing points stay NaN; a point sent twice keeps the later reading.</summary>
public static class CurveBuilder
{
    /// <param name="header">Run that the blocks belong to.</param>
    /// <param name="blocks">Blocks of any passes, in the order stored.</param>
    /// <returns>One curve a planned pass that has at least one sample, in order.</returns>
    public static IReadOnlyList<Curve> Build(RunHeader header, IEnumerable<SampleBlock> blocks)
    {
        var calibrator = Calibrator.For(header);
        var curves = new Curve?[header.Passes.Count];
        foreach (var block in blocks)
        {
            if (block.Pass >= curves.Length) continue;
            Fill(curves[block.Pass] ??= Empty(header.Passes[block.Pass]), block, calibrator);
        }
        return [.. curves.OfType<Curve>()];
    }

    private static Curve Empty(PassHeader pass)
    {
        double[] Missing()
        {
            var column = new double[pass.Points];
            Array.Fill(column, double.NaN);
            return column;
        }
        return new Curve
        {
            Pass = pass,
            Drive = Missing(),
            Grid = Missing(),
            Plate = Missing(),
            Screen = Missing(),
            Supply = Missing(),
            GridCurrent = Missing(),
            ScreenCurrent = Missing(),
            PlateCurrent = Missing(),
            PlateUncertainty = Missing(),
            Flags = new SampleFlags[pass.Points],
            SampledAtTicks = new long[pass.Points],
        };
    }

    private static void Fill(Curve curve, SampleBlock block, Calibrator calibrator)
    {
        var volts = calibrator.Convert(block);
        for (var i = 0; i < block.Count; i++)
        {
            var point = block.PointIndex[i];
            if (point >= curve.Count) continue;
            curve.Drive[point] = volts.Drive[i];
            Copy(volts.Grid, curve.Grid, i, point);
            Copy(volts.Plate, curve.Plate, i, point);
            Copy(volts.Screen, curve.Screen, i, point);
            Copy(volts.Supply, curve.Supply, i, point);
            Copy(volts.GridCurrent, curve.GridCurrent, i, point);
            Copy(volts.ScreenCurrent, curve.ScreenCurrent, i, point);
            Copy(volts.PlateCurrent, curve.PlateCurrent, i, point);
            curve.PlateUncertainty[point] = calibrator.PlateUncertainty(curve.Plate[point], block.Spread[i], block.AveragedCount[i]);
            curve.Flags[point] = block.Flags[i];
            curve.SampledAtTicks[point] = block.SampledAtTicks[i];
        }
    }

    private static void Copy(double[] from, double[] to, int i, int point)
    {
        if (from.Length > 0) to[point] = from[i];
    }
}
