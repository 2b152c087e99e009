using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Calibrating;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Calibrating;

/// <summary>A rig with a false gain and offset and a meter without error, as numbers alone.</summary>
internal sealed record BenchOfReadings(double Gain = 1.004, double OffsetVolts = 0.02)
{
    public static ReferenceMeter Meter { get; } = new("hand-held, 60,000 counts", "M-7", 0.05, 0, 60, 3, 0.001, 0.2);

    public static DateTimeOffset Now { get; } = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    public static RigIdentity Rig { get; } = Samples.Rig;

    public static CalibrationProcedure Begun(double positiveUpTo = 0, RigIdentity? rig = null) =>
        new(rig ?? Rig, Now, new(true, Meter, "Workshop", positiveUpTo, Samples.Gentle.Connection, 0));

    /// <summary>What the rig holds and reads of itself at a point, and what the meter shows there.</summary>
    public (HeldReading Held, double Meter) At(CalibrationPoint point)
    {
        // The truth is what the nominal scale says, put right: true = gain · nominal + offset for DAC and channels alike.
        var truth = point.Place is MeterPlace.Drive or MeterPlace.Grid ? True(Rig.Drive.ToVolts(point.DriveCode)) : point.PlateRailVolts!.Value;
        var codes = Rig.Channels.Select(c => Code(c, truth)).ToArray();
        return (new(point.DriveCode, codes, [.. codes.Select(_ => 0.3)], 64), Math.Round(truth, 3));
    }

    public double True(double nominal) => Gain * nominal + OffsetVolts;

    /// <summary>Takes all readings up to a step.</summary>
    public CalibrationProcedure Until(string stepId, CalibrationProcedure? from = null)
    {
        var procedure = from ?? Begun();
        while (procedure.Current.Id != stepId) procedure = Next(procedure);
        return procedure;
    }

    public CalibrationProcedure Next(CalibrationProcedure procedure)
    {
        var step = procedure.Current;
        var outcome = step switch
        {
            { Point: { } point } => Take(procedure, point),
            { Kind: CalibrationStepKind.Review } => procedure.Accept(),
            _ => procedure.Take(step.Id, step.Expected * 1.002, null),
        };
        Assert.True(outcome.IsAccepted, $"{step.Id}: {string.Join(" ", outcome.Refusals)}");
        return outcome.Value;
    }

    public Outcome<CalibrationProcedure> Take(CalibrationProcedure procedure, CalibrationPoint point)
    {
        var (held, meter) = At(point);
        return procedure.Take(point.Id, meter, held);
    }

    private double Code(ChannelScale scale, double truth) => ((truth - OffsetVolts) / Gain - scale.AtZero.Value) / scale.StepVolts * (1 << scale.FractionBits);
}
