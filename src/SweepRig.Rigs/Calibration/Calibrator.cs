using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs.Calibration;

/// <summary>Turns stored codes into volts, and drops over known resistors into currents. Pure.</summary>
public sealed class Calibrator(RigIdentity rig, RigCalibration calibration, Connection planned)
{
    /// <summary>As planned, with the resistors that were measured in place of those that stand on them.</summary>
    private readonly Connection _connection = calibration.Measured(planned);

    public static Calibrator For(RunHeader header) => new(header.Rig, header.Calibration, header.Plan.Connection);

    /// <summary>Volts of one stored code of a channel.</summary>
    public double Volts(RigChannel channel, double storedCode) =>
        calibration.Channels[(int)channel].Apply(rig.Channels[(int)channel].ToVolts(storedCode));

    /// <summary>Volts of a DAC code of the drive.</summary>
    public double DriveVolts(int code) => calibration.Drive.Apply(rig.Drive.ToVolts(code));

    /// <summary>Standard uncertainty of a plate reading, in volts: calibration, one step rectangular (GUM F.2.2.1), and the spread of the average.</summary>
    /// <param name="volts">The reading.</param>
    /// <param name="spreadCodes">Largest minus smallest conversion.</param>
    /// <param name="averaged">Conversions averaged, 1 or more.</param>
    public double PlateUncertainty(double volts, int spreadCodes, int averaged)
    {
        var scale = rig.Channels[(int)RigChannel.Plate];
        var fromCalibration = calibration.Channels[(int)RigChannel.Plate].UncertaintyAt(volts);
        var resolution = scale.ResolutionUncertaintyVolts;
        // Range of n readings taken as rectangular noise; its mean is better by sqrt(n). A single reading is left with its resolution.
        var noise = averaged > 1 ? spreadCodes * scale.StepVolts / Math.Sqrt(12) / Math.Sqrt(averaged) : scale.StepVolts / Math.Sqrt(12);
        return Math.Sqrt(fromCalibration * fromCalibration + resolution * resolution + noise * noise);
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

    private static double[] Drop(double[] from, double[] to, double ohms)
    {
        if (from.Length == 0 || to.Length == 0) return [];
        var amps = new double[from.Length];
        for (var i = 0; i < amps.Length; i++) amps[i] = (from[i] - to[i]) / ohms;
        return amps;
    }
}
