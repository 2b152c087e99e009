using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Health;

/// <summary>Mean and standard uncertainty from scatter of so many samples.</summary>
internal readonly record struct Mean(double Value, double Uncertainty, int Samples)
{
    public static Mean Of(IReadOnlyCollection<double> values)
    {
        if (values.Count == 0) return new(double.NaN, double.NaN, 0);
        var mean = values.Average();
        // Experimental standard deviation of the mean, JCGM 100:2008, 4.2.3.
        var u = values.Count > 1 ? Math.Sqrt(values.Sum(v => (v - mean) * (v - mean)) / (values.Count - 1) / values.Count) : 0;
        return new(mean, u, values.Count);
    }
}

/// <summary>The curves of one screening, with what all items need of them.</summary>
internal sealed class Screened
{
    private const string NotCalibrated = "the rig is not calibrated";

    /// <summary>A rail further from the plan is another rail: a supply that a rig has let go, for one.</summary>
    private const double RailPart = 0.1, RailVolts = 0.5;

    private readonly IReadOnlyList<ScreeningRun> _runs;
    private readonly (double Plate, double Screen) _zero;

    public Screened(IReadOnlyList<ScreeningRun> runs)
    {
        _runs = runs;
        Header = runs[0].Header;
        _zero = Zero();
    }

    public RunHeader Header { get; }

    public IReadOnlyList<ScreeningRun> Runs => _runs;

    public RigCalibration Calibration => Header.Calibration;

    /// <summary>Resistors and kind; the rail of the warm steps.</summary>
    public Connection Connection => (_runs.FirstOrDefault(r => r.Kind == ScreeningStepKind.WarmUp) ?? _runs[^1]).Header.Plan.Connection;

    public bool IsTriode => Connection.Kind == ConnectionKind.Triode;

    /// <summary>For figures that lean on absolute voltages.</summary>
    public string? Mark => Calibration.IsNominal ? NotCalibrated : Calibration.IsStale ? "the calibration of the rig is stale" : null;

    /// <summary>Relative standard uncertainty of a current from its drop: gain of the channel, and a resistor that nobody measured taken for 1 %, rectangular.</summary>
    public double CurrentGain
    {
        get
        {
            var resistor = Calibration.Resistors.Count > 0 ? 0.001 : 0.01 / Math.Sqrt(3);
            return Math.Sqrt(Square(Calibration.Channels[(int)RigChannel.Plate].GainUncertainty) + Square(resistor));
        }
    }

    /// <summary>The curve of a step that ran to its end on the rail that it was planned for.</summary>
    public Curve? Of(ScreeningStepKind kind) => _runs.FirstOrDefault(r => r.Kind == kind && Unfit(r) is null)?.Curve;

    /// <summary>Why a run shows nothing of the tube, as the end of a sentence; null when it does.</summary>
    public static string? Unfit(ScreeningRun run)
    {
        if (run.State != RunState.Complete) return $"ended {run.State.ToString().ToLowerInvariant()}";
        if (run.Curve is not { } curve) return "has no samples";
        var planned = run.Header.Plan.Connection.PlateRail.Value;
        var supply = MeanOf(curve.Supply, 0, curve.Count);
        if (supply.Samples == 0) return "has no samples";
        return Math.Abs(supply.Value - planned) <= RailPart * planned + RailVolts ? null : $"had a plate rail of {new Volts(supply.Value)} where {new Volts(planned)} was planned";
    }

    /// <summary>Why a step shows nothing.</summary>
    public string Missing(ScreeningStepKind kind) => _runs.FirstOrDefault(r => r.Kind == kind) is { } run
        ? $"its step {Unfit(run) ?? "shows nothing"}"
        : _runs.Any(r => r.Trips.Count > 0 || Unfit(r) is not null) ? "the screening ended before it" : "the screening left it out";

    /// <summary>Current of plate and screen together, less what the channels show with the tube cold. Unit: A.</summary>
    public double CathodeCurrent(Curve curve, int i) =>
        curve.PlateCurrent[i] - _zero.Plate + (IsTriode ? 0 : curve.ScreenCurrent[i] - _zero.Screen);

    /// <summary>Current through the plate resistor, less what the channels show with the tube cold. Unit: A.</summary>
    public double PlateCurrent(Curve curve, int i) => curve.PlateCurrent[i] - _zero.Plate;

    /// <summary>Cathode current over a stretch of samples, missing ones left out.</summary>
    public Mean CathodeCurrent(Curve curve, int first, int end)
    {
        List<double> values = [];
        for (var i = Math.Max(0, first); i < Math.Min(end, curve.Count); i++)
            if (CathodeCurrent(curve, i) is var amps && !double.IsNaN(amps)) values.Add(amps);
        return Mean.Of(values);
    }

    /// <summary>Seconds since the first sample of a curve that is there.</summary>
    public static double Seconds(Curve curve, int i) => (curve.SampledAtTicks[i] - curve.SampledAtTicks.First(t => t != 0)) * 1e-6;

    /// <summary>Means over each stretch of equal drive, in order.</summary>
    public static IReadOnlyList<(double Drive, int First, int End)> Holds(Curve curve)
    {
        List<(double, int, int)> holds = [];
        for (var i = 0; i < curve.Count;)
        {
            var end = i + 1;
            while (end < curve.Count && (curve.Drive[end] == curve.Drive[i] || double.IsNaN(curve.Drive[end]))) end++;
            if (!double.IsNaN(curve.Drive[i])) holds.Add((curve.Drive[i], i, end));
            i = end;
        }
        return holds;
    }

    public static Mean MeanOf(double[] column, int first, int end) => Mean.Of([.. column[first..end].Where(v => !double.IsNaN(v))]);

    // At full drive below cut-off and cold nothing but leakage flows; what the channels show besides is their own disagreement.
    private (double, double) Zero()
    {
        if (Of(ScreeningStepKind.ColdRailOn) is not { } cold) return (0, 0);
        var plate = MeanOf(cold.PlateCurrent, 0, cold.Count).Value;
        var screen = IsTriode ? 0 : MeanOf(cold.ScreenCurrent, 0, cold.Count).Value;
        return (double.IsNaN(plate) ? 0 : plate, double.IsNaN(screen) ? 0 : screen);
    }

    private static double Square(double x) => x * x;
}
