using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Screening;

/// <summary>Turns a step into a program for one rig, or refuses with every reason. Pure.</summary>
public static class ScreeningPlanner
{
    /// <summary>The step in the words of a plan, for those parts that speak of one. A supply that is off is 0 V.</summary>
    public static SweepPlan PlanOf(ScreeningRequest request)
    {
        var step = request.Step;
        return new(
            $"Screening: {step.Title}", new(step.Drives.Min(d => Math.Min(d.FromVolts, d.ToVolts))), new(step.Drives.Max(d => Math.Max(d.FromVolts, d.ToVolts))),
            step.Points, SweepDirection.Up, step.DwellMicroseconds, new Averaging.Count(step.Conversions), null, 1, null,
            request.Fixture with { PlateRail = new(step.PlateRailVolts ?? 0), Heater = new(step.HeaterVolts ?? 0) });
    }

    public static Outcome<SweepProgram> Plan(ScreeningRequest request, BenchFacts facts)
    {
        var step = request.Step;
        var plan = PlanOf(request);
        var checks = new PlanChecks(new SweepRequest(plan, request.Tube, request.Socket), facts);
        checks.Type();
        checks.Socket();
        checks.Drive();
        if (step.PlateRailVolts is not null)
        {
            checks.Rails();
            checks.Power();
        }
        if (step.HeaterVolts is not null) checks.Heater();
        List<Refusal> reasons = [.. checks.Reasons];
        if (plan.Stop.Value > 0)
            reasons.Add(new("positive-drive-in-screening", "", $"the step goes up to {plan.Stop}", "a screening stays at or below 0 V", "Sweep positive drive by itself, under a permit."));
        if (step.Points > PlanLimits.MaxPoints)
            reasons.Add(new("too-many-points", "", $"the step has {step.Points} points", $"at most {PlanLimits.MaxPoints} are possible", "Watch for a shorter time."));
        if (reasons.Count > 0) return Outcome<SweepProgram>.Refuse(reasons);

        var highest = DriveCodes.NotPositive(facts.Rig, facts.Calibration);
        var segments = new List<RigSegment>();
        foreach (var run in step.Drives) segments.Add(new(Code(run.FromVolts), Code(run.ToVolts), run.Points, segments.Sum(s => s.Points)));
        var ceiling = segments.Max(s => Math.Max(s.FromCode, s.ToCode));
        var header = new PassHeader(0, PassDirection.Up, step.Points, 0, null);
        var program = new RigProgram(
            0, segments, SweepTime.ChannelMask, ceiling, new(step.DwellMicroseconds, step.Conversions, 0, 0, 0, 0), RigWiring.Of(request.Fixture));
        var supplies = new SupplySetting(step.HeaterVolts is not null, step.HeaterVolts ?? 0, step.PlateRailVolts is not null, step.PlateRailVolts ?? 0, request.Socket);
        var floor = SweepTime.Floor(SweepTime.PointMicroseconds(plan, facts.Rig.ConversionMicroseconds), step.Points);
        var drive = new Volts(Math.Min(0, facts.Calibration.Drive.Apply(facts.Rig.Drive.ToVolts(ceiling))));
        return Outcome<SweepProgram>.Accept(new(new PlannedRun([header], drive, false, floor), [new(header, program, supplies, floor)]));

        // The floor rounds up and the ceiling down, as in any plan.
        ushort Code(double volts)
        {
            var nominal = facts.Calibration.Drive.Invert(volts);
            var code = Math.Min(facts.Rig.Drive.ToCode(new(nominal)), highest);
            while (code < highest && facts.Rig.Drive.ToVolts(code) < facts.Limits.DriveFloor.Value - 1e-9) code++;
            return (ushort)code;
        }
    }
}
