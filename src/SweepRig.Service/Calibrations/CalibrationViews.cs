using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Calibration.Fitting;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Calibrating;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Calibrations;

/// <summary>Turns a procedure into what a viewer sees. Pure.</summary>
public static class CalibrationViews
{
    /// <summary>Shown before anything is begun.</summary>
    public static string[] Cautions { get; } =
    [
        "Tube out of the socket: let it cool, pull it straight, with eye protection. Hot glass burns, and the envelope can shatter.",
        "Extra-low voltage only, from an isolated and fused supply, no rail above 60 V d.c. A lead that slips can short a rail: hook clips on before the rail is on.",
        "Black lead of the meter at the cathode and nowhere else. Set its range before you touch a rail; never measure volts on a current input.",
        "Measure resistors with the rig switched off.",
        "The interlocks protect tubes. They are not a personnel safety system; follow your local electrical code and workplace rules.",
    ];

    public static CalibrationStatusView Status(BenchState bench, CalibrationProcedure? procedure, string? held, bool practice, DateTimeOffset now) => new(
        bench.Calibration is { } inUse ? BenchViews.Of(inUse.At(now)) : null, procedure is null ? null : Of(procedure, held), practice, Cautions);

    private static CalibrationProcedureView Of(CalibrationProcedure procedure, string? held)
    {
        var result = procedure.Result;
        var prepared = procedure.Prepared;
        var meter = prepared.Meter;
        return new(
            procedure.Rig.SerialNumber, BenchViews.Utc(procedure.BegunUtc),
            new(meter.Name, meter.SerialNumber, meter.PercentOfReading, meter.RangeVolts, meter.CountVolts, meter.PercentOfRange, meter.Counts, meter.OhmsPercent),
            prepared.Note, prepared.PositiveUpToVolts, procedure.Current.Id, procedure.Done, procedure.Steps.Count, held,
            [.. procedure.Steps.Select(s => Of(procedure, s))],
            result is null ? [] : [.. result.Fits.Select(Of)],
            result is null ? [] : [.. result.Checks.Select(c => new CalibrationCheckView(c.Step, c.Name, c.CorrectedVolts, c.MeterVolts, c.ExpandedVolts, c.Passed))]);
    }

    private static CalibrationFitView Of(PlaceFit fitted)
    {
        var correction = fitted.Fit.Correction;
        var range = correction.Range!.Value;
        var far = Math.Abs(range.ToVolts) > Math.Abs(range.FromVolts) ? range.ToVolts : range.FromVolts;
        return new(
            fitted.Name, correction.Gain, correction.OffsetVolts, correction.CubicVolts, fitted.Fit.HasCubicTerm, correction.UncertaintyAt(correction.AtCentreVolts),
            ExpandedUncertainty.Of(correction, correction.Apply(far)), correction.Quality!.Value.ResidualVolts, [.. fitted.Steps.Zip(fitted.Fit.Residuals, (step, volts) => new CalibrationResidualView(step, volts))]);
    }

    private static CalibrationStepView Of(CalibrationProcedure procedure, CalibrationStep step)
    {
        double? value = step.Point is not null
            ? procedure.Readings.TryGetValue(step.Id, out var reading) ? reading.MeterVolts : null
            : procedure.Values.TryGetValue(step.Id, out var read) ? read : null;
        return new(
            step.Id, BenchViews.Word(step.Kind), Instruction(step), BenchViews.Finite(step.Expected), step.Kind == CalibrationStepKind.Resistor ? "Ω" : "V",
            step.Point is not null || step.Rail is RailPlace.PlateRail or RailPlace.Heater, step.Point?.IsPositive ?? false, step.Point?.IsCheck ?? false, procedure.IsDone(step), value);
    }

    private static string Instruction(CalibrationStep step) => step switch
    {
        { Point: { } point } => $"{Place(point.Place)} The rig holds {Held(point)}; the meter should show about {new Volts(Math.Round(point.NominalVolts, 3))}."
            + (point.IsPositive ? $" Positive drive is held for {HoldRequest.LongestPositive.TotalSeconds.ToString("0", CultureInfo.InvariantCulture)} s at most." : ""),
        { Resistor: { } place } => $"Rig switched off, one end of the {Name(place)} free: measure it. {Engineering.Format(step.Expected, "Ω")} stands on it.",
        { Rail: RailPlace.PlateRail } => $"Red lead to the plate rail: about {new Volts(step.Expected)} is held.",
        { Rail: RailPlace.BiasRail } => $"Red lead to the bias rail, black at the cathode: about {new Volts(step.Expected)}, with its sign.",
        { Rail: RailPlace.Heater } => $"Both leads across the heater pins of the empty socket: about {new Volts(step.Expected)} is held.",
        { Kind: CalibrationStepKind.Review } => "Look at gains, offsets and residuals. Take back what looks wrong; accept the rest.",
        _ => "Keep the calibration. The rig works on it from then on.",
    };

    private static string Held(CalibrationPoint point) => point.Place is MeterPlace.Drive or MeterPlace.Grid ? $"the drive at {new Volts(Math.Round(point.NominalVolts, 3))}" : $"the plate rail at {new Volts(point.PlateRailVolts ?? 0)}";

    private static string Place(MeterPlace place) => place switch
    {
        MeterPlace.Drive => "Red lead to the drive, before the grid stopper.",
        MeterPlace.Grid => "Red lead to the grid pin of the empty socket.",
        MeterPlace.Plate => "Red lead to the plate pin of the empty socket.",
        MeterPlace.Screen => "Red lead to the screen pin of the empty socket.",
        _ => "Red lead to the plate rail.",
    };

    private static string Name(ResistorPlace place) => place switch
    {
        ResistorPlace.Plate => "plate resistor",
        ResistorPlace.Screen => "screen resistor",
        _ => "grid stopper",
    };
}
