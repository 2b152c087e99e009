using SweepRig.Domain;
using SweepRig.Domain.Measurement;
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
            DriveUncertainty = Missing(),
            GridUncertainty = Missing(),
            ScreenUncertainty = Missing(),
            SupplyUncertainty = Missing(),
            GridCurrentUncertainty = Missing(),
            ScreenCurrentUncertainty = Missing(),
            PlateCurrentUncertainty = Missing(),
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
            FillUncertainty(curve, point, calibrator, block.Spread[i], block.AveragedCount[i]);
            curve.Flags[point] = block.Flags[i];
            curve.SampledAtTicks[point] = block.SampledAtTicks[i];
        }
    }

    private static void FillUncertainty(Curve curve, int point, Calibrator calibrator, int spread, int averaged)
    {
        double Scatter(RigChannel channel) => calibrator.Scatter(channel, spread, averaged);
        var (drive, grid, plate, screen, supply) = (curve.Drive[point], curve.Grid[point], curve.Plate[point], curve.Screen[point], curve.Supply[point]);
        var (ofGrid, ofPlate, ofScreen, ofSupply) = (Scatter(RigChannel.Grid), Scatter(RigChannel.Plate), Scatter(RigChannel.Screen), Scatter(RigChannel.Supply));
        curve.DriveUncertainty[point] = calibrator.VoltageUncertainty(VoltagePlace.Drive, drive, 0);
        curve.GridUncertainty[point] = calibrator.VoltageUncertainty(VoltagePlace.Grid, grid, ofGrid);
        curve.PlateUncertainty[point] = calibrator.VoltageUncertainty(VoltagePlace.Plate, plate, ofPlate);
        curve.ScreenUncertainty[point] = calibrator.VoltageUncertainty(VoltagePlace.Screen, screen, ofScreen);
        curve.SupplyUncertainty[point] = calibrator.VoltageUncertainty(VoltagePlace.Supply, supply, ofSupply);
        curve.GridCurrentUncertainty[point] = calibrator.CurrentUncertainty(MeasuredCurrent.Grid, drive, grid, 0, ofGrid);
        curve.PlateCurrentUncertainty[point] = calibrator.CurrentUncertainty(MeasuredCurrent.Plate, supply, plate, ofSupply, ofPlate);
        if (!double.IsNaN(curve.ScreenCurrent[point]))
            curve.ScreenCurrentUncertainty[point] = calibrator.CurrentUncertainty(MeasuredCurrent.Screen, supply, screen, ofSupply, ofScreen);
    }

    private static void Copy(double[] from, double[] to, int i, int point)
    {
        if (from.Length > 0) to[point] = from[i];
    }
}
