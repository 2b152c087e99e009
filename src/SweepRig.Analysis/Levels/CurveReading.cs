using System.Globalization;
using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>One curve with all that its figures need, and the one place where figures get their uncertainty and marks.</summary>
internal sealed class CurveReading
{
    public const string NotCalibrated = "the rig is not calibrated";
    public const string Stale = "the calibration of the rig is stale";

    private readonly bool _settlingWasChecked;

    public CurveReading(Curve curve, Connection connection, LevelOptions options, RigCalibration calibration)
    {
        Curve = curve;
        Connection = connection;
        Options = options;
        Calibration = calibration;
        Output = new Smoother(Trace.Of(curve, curve.Plate, curve.PlateUncertainty));
        _settlingWasChecked = Array.Exists(Output.Trace.Flags, f => f.HasFlag(SampleFlags.Settled));
    }

    public Curve Curve { get; }
    public Connection Connection { get; }
    public LevelOptions Options { get; }
    public RigCalibration Calibration { get; }
    public Smoother Output { get; }
    public Trace Trace => Output.Trace;

    /// <summary>A drive with its uncertainty: that of the estimate and that of the DAC's calibration.</summary>
    public Figure Drive(Estimate drive, string? mark = null) =>
        Figure.Of(
            drive.Value, "V", Smoother.Hypot(drive.Sigma, Calibration.Drive.UncertaintyAt(drive.Value)),
            Marks(drive, Joined(mark, Beyond("drive", Calibration.Drive, drive.Value))));

    /// <summary>An output near a point: scatter, and of the uncertainty stated with the reading what is not scatter.</summary>
    public Figure OutputNear(int point, Estimate output, string? mark = null) =>
        Figure.Of(output.Value, "V", Smoother.Hypot(output.Sigma, Systematic(point)), Marks(output, Joined(mark, PlateBeyond(output.Value))));

    /// <summary>A difference of outputs: offsets fall out, gain stays.</summary>
    public Figure OutputDifference(Estimate difference, string? mark = null) =>
        Figure.Of(difference.Value, "V", Smoother.Hypot(difference.Sigma, difference.Value * PlateGainUncertainty), Marks(difference, mark));

    public Figure Gain(Estimate gain, string? mark = null) =>
        Figure.Of(
            gain.Value, "1", Smoother.Hypot(gain.Sigma, gain.Value * Smoother.Hypot(PlateGainUncertainty, Calibration.Drive.GainUncertainty)),
            Marks(gain, mark));

    public double PlateGainUncertainty => Calibration.Channels.Count > 0 ? Calibration.Channels[0].GainUncertainty : 0;

    /// <summary>A drive for people.</summary>
    public static string Volts(double drive) => Engineering.Format(drive, "V", 3);

    public static string Ratio(double gain) => gain.ToString("0.##", CultureInfo.InvariantCulture);

    /// <summary>Why nothing is said of what lies between two points.</summary>
    public static string InGap(Trace trace, int right) =>
        $"it lies in the gap between {Volts(trace.X[right - 1])} and {Volts(trace.X[right])} of drive, where points are missing";

    private double Systematic(int point)
    {
        var stated = Trace.Stated[point];
        var scatter = Output.ScatterAt(point);
        return Math.Sqrt(Math.Max(0, stated * stated - scatter * scatter));
    }

    private string? Marks(Estimate estimate, string? own)
    {
        var marks = new List<string>(3);
        if (own is not null) marks.Add(own);
        int clipped = 0, unsettled = 0;
        for (var i = Math.Max(0, estimate.First); i <= estimate.Last && i < Trace.Count; i++)
        {
            if (Trace.Flags[i].HasFlag(SampleFlags.Clipped)) clipped++;
            if (_settlingWasChecked && !Trace.Flags[i].HasFlag(SampleFlags.Settled)) unsettled++;
        }
        if (clipped > 0) marks.Add($"leans on samples at the end of a converter's range ({clipped})");
        if (unsettled > 0) marks.Add($"leans on samples that had not settled ({unsettled})");
        if (Calibration.IsNominal) marks.Add(NotCalibrated);
        else if (Calibration.IsStale) marks.Add(Stale);
        return marks.Count == 0 ? null : string.Join("; ", marks);
    }

    private string? PlateBeyond(double volts) => Calibration.Channels.Count > 0 ? Beyond("plate channel", Calibration.Channels[0], volts) : null;

    private static string? Beyond(string what, VoltageCorrection correction, double volts) => correction.Extrapolates(volts) && correction.Range is { } range
        ? $"leans on extrapolation: the {what} was calibrated from {Volts(range.FromVolts)} to {Volts(range.ToVolts)}"
        : null;

    private static string? Joined(string? a, string? b) => a is null ? b : b is null ? a : $"{a}; {b}";
}
