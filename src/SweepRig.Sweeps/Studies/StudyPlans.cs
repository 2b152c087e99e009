using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Studies;

/// <summary>The sweeps that studies are made of.</summary>
internal static class StudyPlans
{
    /// <summary>Where a small tube on such a rail is cut off (common practice, no source); lower drives would tell nothing of its cathode.</summary>
    private const double LowestVolts = -4;

    private const int ReferencePoints = 41, ReferenceConversions = 64, MeasureConversions = 16, Dwell = 2_000;

    private const double MeasureStepVolts = 0.2;

    /// <summary>Between the start of a run and its samples, and after them: rail, program, record. An estimate.</summary>
    private static readonly TimeSpan AroundRun = TimeSpan.FromSeconds(1);

    /// <summary>Negative drive only: what a tube is recognised by.</summary>
    public static SweepPlan Reference(RigIdentity rig, Connection fixture) =>
        new("Reference, negative drive", new(Lowest(rig, fixture)), new(0), ReferencePoints, SweepDirection.Up, Dwell, new Averaging.Count(ReferenceConversions), null, 1, null, fixture);

    /// <summary>From below cut-off up to a ceiling.</summary>
    public static SweepPlan Measure(RigIdentity rig, Connection fixture, double ceiling)
    {
        var lowest = Lowest(rig, fixture);
        var points = (int)Math.Ceiling((ceiling - lowest) / MeasureStepVolts) + 1;
        return new(
            FormattableString.Invariant($"Exploration up to {ceiling:0.##} V"), new(lowest), new(ceiling), points, SweepDirection.Up, Dwell, new Averaging.Count(MeasureConversions), null, 1, null, fixture);
    }

    /// <summary>Watched at one drive, never above 0 V.</summary>
    public static ScreeningStep Hold(string title, Connection fixture, double volts, TimeSpan time, int dwellMicroseconds, int conversions, int conversionMicroseconds)
    {
        var point = dwellMicroseconds + (double)SweepTime.Channels * conversions * conversionMicroseconds;
        var points = (int)Math.Clamp(Math.Ceiling(time.TotalMicroseconds / point), 16, PlanLimits.MaxPoints);
        return new(ScreeningStepKind.WarmUp, title, fixture.Heater.Value, fixture.PlateRail.Value, [DriveRun.Hold(volts, points)], dwellMicroseconds, conversions);
    }

    public static double PointSeconds(RigIdentity rig, SweepPlan plan) => SweepTime.PointMicroseconds(plan, rig.ConversionMicroseconds) * 1e-6;

    public static TimeSpan Time(RigIdentity rig, SweepPlan plan) => TimeSpan.FromSeconds(PointSeconds(rig, plan) * plan.Points) + AroundRun;

    private static double Lowest(RigIdentity rig, Connection fixture) => Math.Max(LowestVolts, Math.Max(rig.HardLimits.DriveFloor.Value, Math.Max(rig.Drive.AtZero.Value, fixture.BiasRail.Value)));

    public static string Volts(double volts) => new Volts(volts).ToString();
}
