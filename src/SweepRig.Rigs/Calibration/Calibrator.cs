using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs.Calibration;

/// <summary>Turns stored codes into volts, and drops over known resistors into currents. Pure.</summary>
public sealed class Calibrator(RigIdentity rig, RigCalibration calibration, Connection planned)
{
    /// <summary>As planned, with the resistors that were measured in place of those that stand on them.</summary>
    private readonly Connection _connection = calibration.Measured(planned);

    private readonly MeasurementUncertainty _known = MeasurementUncertainty.Of(rig, calibration, planned);

    public static Calibrator For(RunHeader header) => new(header.Rig, header.Calibration, header.Plan.Connection);

    /// <summary>Volts of one stored code of a channel.</summary>
    public double Volts(RigChannel channel, double storedCode) =>
        calibration.Channels[(int)channel].Apply(rig.Channels[(int)channel].ToVolts(storedCode));

    /// <summary>Volts of a DAC code of the drive.</summary>
    public double DriveVolts(int code) => calibration.Drive.Apply(rig.Drive.ToVolts(code));

    /// <summary>
    /// Standard uncertainty that a reading has by itself, in volts: one step rectangular (JCGM 100:2008, F.2.2.1) and the spread of the average. The rig tells the spread of
    /// the plate alone; as one converter reads all channels, its noise in steps is taken for that of each.
    /// </summary>
    /// <param name="channel">The channel read.</param>
    /// <param name="spreadCodes">Largest minus smallest conversion.</param>
    /// <param name="averaged">Conversions averaged, 1 or more.</param>
    public double Scatter(RigChannel channel, int spreadCodes, int averaged)
    {
        if ((int)channel >= rig.Channels.Count) return double.NaN;
        var scale = rig.Channels[(int)channel];
        // Range of n readings taken as rectangular noise; its mean is better by sqrt(n). A single reading is left with its resolution.
        var noise = averaged > 1 ? spreadCodes * scale.StepVolts / Math.Sqrt(12) / Math.Sqrt(averaged) : scale.StepVolts / Math.Sqrt(12);
        return Math.Sqrt(Square(scale.ResolutionUncertaintyVolts) + noise * noise);
    }

    /// <summary>Standard uncertainty of a voltage, in volts: calibration and what the reading has by itself.</summary>
    /// <param name="scatter">Of the reading, volts; 0 for the drive, whose code is commanded.</param>
    public double VoltageUncertainty(VoltagePlace place, double volts, double scatter) =>
        _known.Voltages[(int)place] is { } voltage ? Math.Sqrt(Square(voltage.At(volts)) + scatter * scatter) : double.NaN;

    /// <summary>Standard uncertainty of a current, in amperes: as above, with what its two voltages have in common, and its resistor.</summary>
    /// <param name="fromVolts">Drive for the grid, else the plate rail.</param>
    /// <param name="toVolts">Voltage at the pin.</param>
    /// <param name="fromScatter">Of the reading, volts.</param>
    /// <param name="toScatter">Of the reading, volts.</param>
    public double CurrentUncertainty(MeasuredCurrent current, double fromVolts, double toVolts, double fromScatter, double toScatter)
    {
        var terms = _known.CurrentTerms(current, fromVolts, toVolts);
        return Math.Sqrt(
            Square(_known.StandardUncertainty(terms)) + Square(terms[0].Sensitivity * fromScatter) + Square(terms[1].Sensitivity * toScatter));
    }

    /// <summary>A whole block in volts and amperes.</summary>
    public BlockVolts Convert(SampleBlock block)
    {
        var drive = Array.ConvertAll(block.DriveCode, c => DriveVolts(c));
        var grid = Column(block, RigChannel.Grid);
        var plate = Column(block, RigChannel.Plate);
        var screen = Column(block, RigChannel.Screen);
        var supply = Column(block, RigChannel.Supply);
        return new(
            drive, grid, plate, screen, supply,
            Drop(drive, grid, _connection.GridStopper.Value),
            _connection.Kind == ConnectionKind.Triode ? [] : Drop(supply, screen, _connection.ScreenResistor.Value),
            Drop(supply, plate, _connection.PlateResistor.Value));
    }

    private double[] Column(SampleBlock block, RigChannel channel) =>
        Array.ConvertAll(block.Codes[(int)channel], c => Volts(channel, c));

    private static double Square(double x) => x * x;

    private static double[] Drop(double[] from, double[] to, double ohms)
    {
        if (from.Length == 0 || to.Length == 0) return [];
        var amps = new double[from.Length];
        for (var i = 0; i < amps.Length; i++) amps[i] = (from[i] - to[i]) / ohms;
        return amps;
    }
}
