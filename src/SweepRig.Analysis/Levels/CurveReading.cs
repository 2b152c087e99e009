using System.Globalization;
using SweepRig.Analysis.Smoothing;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Measurement;
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

    /// <summary>What to do about samples that are bounds and no readings.</summary>
    public const string NotClipped = "lower the rail or the drive until none is";

    private readonly bool _settlingWasChecked;
    private readonly double _statedScatter;
    private Smoother? _plateCurrent, _gridCurrent;
    private Pilot? _pilot;

    public CurveReading(Curve curve, Connection connection, LevelOptions options, MeasurementUncertainty known)
    {
        Curve = curve;
        Connection = connection;
        Options = options;
        Known = known;
        Output = new Smoother(Trace.Of(curve, curve.Plate, curve.PlateUncertainty));
        _settlingWasChecked = Array.Exists(Output.Trace.Flags, f => f.HasFlag(SampleFlags.Settled));
        _statedScatter = StatedScatter();
    }

    public Curve Curve { get; }
    public Connection Connection { get; }
    public LevelOptions Options { get; }
    public MeasurementUncertainty Known { get; }
    public RigCalibration Calibration => Known.Calibration;
    public Smoother Output { get; }
    public Trace Trace => Output.Trace;
    public Pilot Pilot => _pilot ??= Pilot.Of(Output);
    public Smoother PlateCurrent => _plateCurrent ??= new(Trace.Of(Curve, Curve.PlateCurrent));
    public Smoother GridCurrent => _gridCurrent ??= new(Trace.Of(Curve, Curve.GridCurrent));

    public Figure Show(LevelValue level)
    {
        var lines = new List<Contribution>();
        if (level.Scatter > 0) lines.Add(new("scatter of the readings", level.Scatter, level.Unit, 1));
        if (level.HalfWidth > 0) lines.Add(new("drive steps, and places alike", level.HalfWidth / Math.Sqrt(3), level.Unit, 1, ErrorShape.Rectangular));
        if (level.PerPlateVolt != 0 && Resolution(level.At) is > 0 and var resolution)
            lines.Add(new("resolution of the plate channel", resolution, "V", level.PerPlateVolt, ErrorShape.Rectangular));
        if (level.Other is { } other) lines.Add(new(other.Name, other.Uncertainty, level.Unit, 1));
        lines.AddRange(SystematicParts.Of(Known, level.Unit, level.Systematic));
        var extrapolates = level.Systematic.Select(t => Beyond(t.Input)).OfType<string>().FirstOrDefault();
        var marks = Marks(level.First, level.Last, Joined(level.Mark, extrapolates));
        return new Budget(level.Value, level.Unit, lines).ToFigure(marks);
    }

    /// <summary>Derivatives of a level by the errors of the slopes: the relative error of the plate channel's gain at an output, less that of the drive's.</summary>
    /// <param name="by">Change of the level for an error of 1.</param>
    public static FigureTerm[] SlopeTerms(double drive, double output, double by) =>
    [
        InputQuantity.Voltage(VoltagePlace.Plate, output + 0.5).Times(by), InputQuantity.Voltage(VoltagePlace.Plate, output - 0.5).Times(-by),
        InputQuantity.Voltage(VoltagePlace.Drive, drive + 0.5).Times(-by), InputQuantity.Voltage(VoltagePlace.Drive, drive - 0.5).Times(by),
    ];

    public static FigureTerm DriveTerm(double drive, double by = 1) => InputQuantity.Voltage(VoltagePlace.Drive, drive).Times(by);

    public static FigureTerm PlateTerm(double output, double by = 1) => InputQuantity.Voltage(VoltagePlace.Plate, output).Times(by);

    /// <summary>The terms of a current at a point of its trace, each so many times; none where its voltages are missing.</summary>
    public FigureTerm[] CurrentTerms(MeasuredCurrent current, Trace trace, int point, double by)
    {
        var i = trace.Source(point);
        var (from, to) = current == MeasuredCurrent.Grid ? (Curve.Drive[i], Curve.Grid[i]) : (Curve.Supply[i], Curve.Plate[i]);
        return double.IsFinite(from) && double.IsFinite(to)
            ? Array.ConvertAll(Known.CurrentTerms(current, from, to), t => t with { Sensitivity = by * t.Sensitivity })
            : [];
    }

    /// <summary>A drive for people.</summary>
    public static string Volts(double drive) => Engineering.Format(drive, "V", 3);

    public static string Amps(double amps) => Engineering.Format(amps, "A", 3);

    public static string Ratio(double gain) => gain.ToString("0.##", CultureInfo.InvariantCulture);

    /// <summary>Why nothing is said of what lies between two points.</summary>
    public static string InGap(Trace trace, int right) =>
        $"it lies in the gap between {Volts(trace.X[right - 1])} and {Volts(trace.X[right])} of drive, where "
        + (trace.ClippedBefore(right) ? $"a channel is at the end of its converter's range: {NotClipped}" : "points are missing: measure them again");

    public static string? Joined(string? a, string? b) => a is null ? b : b is null ? a : $"{a}; {b}";

    /// <summary>Scatter that the rig states of most readings: resolution and spread of the averages, without the calibration.</summary>
    private double StatedScatter()
    {
        var trace = Output.Trace;
        if (trace.Count == 0) return 0;
        var calibration = Known.Voltages[(int)VoltagePlace.Plate];
        var stated = new double[trace.Count];
        for (var i = 0; i < stated.Length; i++)
        {
            var fixedPart = calibration?.At(trace.Y[i]) ?? 0;
            stated[i] = Math.Sqrt(Math.Max(0, trace.Stated[i] * trace.Stated[i] - fixedPart * fixedPart));
        }
        Array.Sort(stated);
        return stated[stated.Length / 2];
    }

    /// <summary>
    /// What the resolution of the converter leaves in every reading of a stretch alike. Noise dithers it away: of a step q there remains about exp(-2π²s²/q²) with scatter s, of
    /// q/√12 without (Widrow and Kollár, Quantization Noise (2008), from memory).
    /// </summary>
    private double Resolution(int point)
    {
        if (point < 0 || !(_statedScatter > 0)) return 0;
        const int near = 3;
        double squares = 0;
        var (first, last) = (Math.Max(1, point - near), Math.Min(Trace.Count - 1, point + near));
        for (var i = first; i <= last; i++) squares += Math.Pow(Trace.Y[i] - Trace.Y[i - 1], 2) / 2;
        // A slope takes the readings through the steps as noise does.
        var ratio = Math.Sqrt(squares / (last - first + 1)) / _statedScatter;
        return _statedScatter * Math.Exp(-5 * ratio * ratio) is var left && left > 0.01 * _statedScatter ? left : 0;
    }

    private string? Marks(int first, int last, string? own)
    {
        var marks = new List<string>(3);
        if (own is not null) marks.Add(own);
        var unsettled = 0;
        for (var i = Math.Max(0, first); i <= last && i < Trace.Count; i++)
        {
            if (_settlingWasChecked && !Trace.Flags[i].HasFlag(SampleFlags.Settled)) unsettled++;
        }
        if (unsettled > 0) marks.Add($"leans on samples that had not settled ({unsettled})");
        if (Calibration.IsNominal) marks.Add(NotCalibrated);
        else if (Calibration.IsStale) marks.Add(Stale);
        return marks.Count == 0 ? null : string.Join("; ", marks);
    }

    private string? Beyond(InputQuantity input)
    {
        if (input.VoltageAt is not { } place || Known.Voltages[(int)place]?.Correction is not { Range: { } range } correction || !correction.Extrapolates(input.Volts)) return null;
        var what = place == VoltagePlace.Drive ? "drive" : $"{place.ToString().ToLowerInvariant()} channel";
        return $"leans on extrapolation: the {what} was calibrated from {Volts(range.FromVolts)} to {Volts(range.ToVolts)}";
    }
}
