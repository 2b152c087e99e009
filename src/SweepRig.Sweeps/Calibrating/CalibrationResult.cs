using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Calibration.Fitting;

namespace SweepRig.Sweeps.Calibrating;

/// <param name="Name">For people: <c>drive</c>, <c>plate channel</c> and so on.</param>
/// <param name="Steps">Steps of the points, in the order of the residuals.</param>
public sealed record PlaceFit(string Name, FittedCorrection Fit, IReadOnlyList<string> Steps);

/// <summary>A fresh voltage read by the corrected rig and by the meter.</summary>
/// <param name="ExpandedVolts">What they may differ by: the expanded uncertainty of the corrected reading, 95 %, and the rounding of the meter.</param>
/// <param name="Name">What was checked, for people.</param>
public sealed record CheckResult(string Step, string Name, MeterPlace Place, double CorrectedVolts, double MeterVolts, double ExpandedVolts)
{
    public bool Passed => Math.Abs(CorrectedVolts - MeterVolts) <= ExpandedVolts;
}

/// <summary>What the readings of a procedure amount to. Pure.</summary>
/// <param name="Fits">Drive first, then the channels in link order.</param>
/// <param name="Checks">Those read so far.</param>
public sealed record CalibrationResult(IReadOnlyList<PlaceFit> Fits, IReadOnlyList<CheckResult> Checks)
{
    private static readonly MeterPlace[] InLinkOrder = [MeterPlace.Plate, MeterPlace.Grid, MeterPlace.Screen, MeterPlace.Supply, MeterPlace.Drive];

    /// <returns>Null while a point of the fits is missing.</returns>
    public static CalibrationResult? Of(CalibrationProcedure procedure)
    {
        if (procedure.Steps.Any(s => s.Point is { IsCheck: false } && !procedure.IsDone(s))) return null;
        var meter = procedure.Prepared.Meter;
        var fits = new List<PlaceFit>();
        var drive = PointsOf(procedure, MeterPlace.Drive);
        fits.Add(new("drive", CorrectionFit.Of([.. drive.Select(p => p.Dac)], meter), [.. drive.Select(p => p.Id)]));
        foreach (var place in InLinkOrder)
        {
            var points = PointsOf(procedure, place);
            fits.Add(new(place == MeterPlace.Drive ? "drive read-back" : $"{CalibrationPoints.Word(place)} channel", CorrectionFit.Of([.. points.Select(p => p.Channel)], meter), [.. points.Select(p => p.Id)]));
        }
        var checks = procedure.Steps.Where(s => s.Point is { IsCheck: true } && procedure.IsDone(s)).SelectMany(s => Checked(procedure, s.Point!, fits)).ToArray();
        return new(fits, checks);
    }

    public RigCalibration Calibration(CalibrationProcedure procedure, string id, DateTimeOffset madeUtc, TimeSpan validity)
    {
        var prepared = procedure.Prepared;
        var meter = prepared.Meter;
        // The document keeps milliseconds.
        var made = new DateTimeOffset(madeUtc.UtcTicks - madeUtc.UtcTicks % TimeSpan.TicksPerMillisecond, TimeSpan.Zero);
        return new RigCalibration(id, procedure.Rig.SerialNumber, [.. Fits.Skip(1).Select(f => f.Fit.Correction)], Fits[0].Fit.Correction)
        {
            Origin = new(made, made + validity, meter, prepared.Note, prepared.PositiveUpToVolts > 0),
            Resistors = [.. procedure.Steps.Where(s => s.Resistor is not null).Select(s => new MeasuredResistor(s.Resistor!.Value, s.Expected, procedure.Values[s.Id], meter.OhmsUncertainty(procedure.Values[s.Id])))],
            Rails = [.. procedure.Steps.Where(s => s.Rail is not null).Select(s => new MeasuredRail(s.Rail!.Value, s.Expected, procedure.Values[s.Id], MeterUncertainty(meter, procedure.Values[s.Id])))],
        };
    }

    /// <summary>The comparisons of a place that were read: by the DAC code, and by the channel.</summary>
    internal static IReadOnlyList<(string Id, ComparedPoint Dac, ComparedPoint Channel)> PointsOf(CalibrationProcedure procedure, MeterPlace place)
    {
        var channel = CalibrationPoints.ChannelOf(place);
        return
        [
            .. procedure.Steps.Where(s => s.Point is { IsCheck: false } p && p.Place == place && procedure.IsDone(s)).Select(s =>
            {
                var reading = procedure.Readings[s.Id];
                return (s.Id,
                    new ComparedPoint(procedure.Rig.Drive.ToVolts(reading.Held.DriveCode), 0, reading.MeterVolts),
                    new ComparedPoint(reading.Held.NominalVolts(procedure.Rig, channel), reading.Held.NominalUncertaintyVolts(procedure.Rig, channel), reading.MeterVolts));
            }),
        ];
    }

    private static IEnumerable<CheckResult> Checked(CalibrationProcedure procedure, CalibrationPoint point, List<PlaceFit> fits)
    {
        var reading = procedure.Readings[point.Id];
        var rounding = procedure.Prepared.Meter.RoundingUncertaintyVolts;
        if (point.Place == MeterPlace.Drive) yield return Of(fits[0], procedure.Rig.Drive.ToVolts(reading.Held.DriveCode), rounding);
        var channel = CalibrationPoints.ChannelOf(point.Place);
        var own = reading.Held.NominalUncertaintyVolts(procedure.Rig, channel);
        yield return Of(fits[1 + (int)channel], reading.Held.NominalVolts(procedure.Rig, channel), Math.Sqrt(own * own + rounding * rounding));

        CheckResult Of(PlaceFit fit, double nominal, double uncertainty)
        {
            var corrected = fit.Fit.Correction.Apply(nominal);
            return new(point.Id, fit.Name, point.Place, corrected, reading.MeterVolts, ExpandedUncertainty.Of(fit.Fit.Correction, corrected, uncertainty));
        }
    }

    private static double MeterUncertainty(ReferenceMeter meter, double volts) =>
        Math.Sqrt((Math.Pow(meter.GainLimit * volts, 2) + Math.Pow(meter.ZeroLimitVolts, 2)) / 3 + Math.Pow(meter.RoundingUncertaintyVolts, 2));
}
