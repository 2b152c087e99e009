using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Storage.Headers;

/// <summary>
/// A sweep plan as it is stored: the shape of a plan document, kept apart from the document reader, because a plan that was run stays
/// readable even when the limits of new documents change.
/// </summary>
internal sealed record StoredPlan(
    string Format,
    string Name,
    StoredDrive Drive,
    int DwellMicroseconds,
    StoredAveraging Averaging,
    StoredSettle? Settle,
    int Repeats,
    StoredSecondSource? SecondSource,
    StoredConnection Connection)
{
    public const string CurrentFormat = "sweep-plan/1";

    public StoredAdaptive? Adaptive { get; init; }

    public static StoredPlan From(SweepPlan plan) => new(
        CurrentFormat,
        plan.Name,
        new(plan.Start.Value, plan.Stop.Value, plan.Points, plan.Direction),
        plan.DwellMicroseconds,
        StoredAveraging.From(plan.Averaging),
        plan.Settle is { } settle ? new(settle.Tolerance.Value, settle.TimeoutMicroseconds) : null,
        plan.Repeats,
        plan.SecondSource is { } second ? new(second.Source, second.From.Value, second.To.Value, second.Steps) : null,
        StoredConnection.From(plan.Connection))
    {
        Adaptive = plan.Adaptive is { } rule ? new(rule.SwitchingUncertainty.Value, rule.FirstPoints, rule.BatchPoints) : null,
    };

    public SweepPlan ToPlan() => Format == CurrentFormat
        ? new(
            Name,
            new Volts(Drive.StartVolts),
            new Volts(Drive.StopVolts),
            Drive.Points,
            Drive.Direction,
            DwellMicroseconds,
            Averaging.ToAveraging(),
            Settle is { } settle ? new SettleRule(new Volts(settle.ToleranceVolts), settle.TimeoutMicroseconds) : null,
            Repeats,
            SecondSource is { } second ? new SecondSource(second.Source, new Volts(second.FromVolts), new Volts(second.ToVolts), second.Steps) : null,
            Connection.ToConnection())
        {
            Adaptive = Adaptive is { } rule ? new AdaptiveRule(new Volts(rule.SwitchingUncertaintyVolts), rule.FirstPoints, rule.BatchPoints) : null,
        }
        : throw new InvalidDataException($"A plan has format '{Format}'; this program knows '{CurrentFormat}'.");
}

internal sealed record StoredDrive(double StartVolts, double StopVolts, int Points, SweepDirection Direction);

internal sealed record StoredSettle(double ToleranceVolts, int TimeoutMicroseconds);

internal sealed record StoredAdaptive(double SwitchingUncertaintyVolts, int FirstPoints, int BatchPoints);

internal sealed record StoredSecondSource(SteppedSource Source, double FromVolts, double ToVolts, int Steps);

internal sealed record StoredAveraging(int? Conversions, int? MainsPeriods, int? MainsHertz)
{
    public static StoredAveraging From(Averaging averaging) => averaging switch
    {
        Averaging.Count count => new(count.Conversions, null, null),
        Averaging.MainsPeriods mains => new(null, mains.Periods, mains.Hertz),
        _ => throw new InvalidOperationException($"SweepRig bug: averaging {averaging} has no stored shape."),
    };

    public Averaging ToAveraging() => (Conversions, MainsPeriods, MainsHertz) switch
    {
        ({ } conversions, null, null) => new Averaging.Count(conversions),
        (null, { } periods, { } hertz) => new Averaging.MainsPeriods(periods, hertz),
        _ => throw new InvalidDataException("A plan states neither conversions nor mains periods with their frequency."),
    };
}

internal sealed record StoredConnection(
    ConnectionKind Kind,
    double PlateRailVolts,
    double BiasRailVolts,
    double HeaterVolts,
    double PlateResistorOhms,
    double ScreenResistorOhms,
    double GridStopperOhms)
{
    public static StoredConnection From(Connection c) => new(
        c.Kind, c.PlateRail.Value, c.BiasRail.Value, c.Heater.Value, c.PlateResistor.Value, c.ScreenResistor.Value, c.GridStopper.Value);

    public Connection ToConnection() => new(
        Kind, new Volts(PlateRailVolts), new Volts(BiasRailVolts), new Volts(HeaterVolts),
        new Ohms(PlateResistorOhms), new Ohms(ScreenResistorOhms), new Ohms(GridStopperOhms));
}
