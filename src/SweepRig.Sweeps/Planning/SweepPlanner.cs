using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Planning;

/// <summary>Turns a plan into programs for one rig, or refuses with every reason. Pure: the same facts give the same answer.</summary>
public static class SweepPlanner
{
    public static Outcome<SweepProgram> Plan(SweepRequest request, BenchFacts facts)
    {
        var plan = request.Plan;
        var codes = DriveCodes.Of(plan, facts.Rig, facts.Calibration, facts.Limits);
        var headers = Passes(plan);
        var adaptive = plan.Adaptive is not null;
        var pointMicroseconds = SweepTime.PointMicroseconds(plan, facts.Rig.ConversionMicroseconds);
        var points = headers.Sum(p => (long)p.Points);

        var checks = new PlanChecks(request, facts);
        checks.Type();
        checks.Socket();
        checks.Drive();
        if (checks.Reasons.All(r => r.Code == "socket-absent")) checks.Steps(codes);
        checks.Permit(SweepTime.Longest(plan, pointMicroseconds, points, headers.Count));
        checks.Rails();
        checks.SecondSource();
        checks.Settling();
        checks.Heater();
        checks.Power();
        if (codes.High > codes.Low)
        {
            var up = new RigSegment((ushort)codes.Low, (ushort)codes.High, headers[0].Points, 0);
            var positive = PositivePoints(up, facts);
            // Which drives further passes of an adaptive sweep take is not known yet: at worst all above 0 V, where any may be.
            checks.PositiveBudget(PositiveTime.WorstMinuteSeconds(headers, pointMicroseconds * 1e-6, h => positive > 0 && adaptive && h.Index > 0 ? h.Points : positive));
        }
        if (checks.Reasons.Count > 0) return Outcome<SweepProgram>.Refuse(checks.Reasons);

        var ceiling = plan.Stop.Value > 0 ? codes.High : Math.Min(codes.High, DriveCodes.NotPositive(facts.Rig, facts.Calibration));
        var timing = Timing(plan, facts);
        var passes = headers.Select(h => Program(h, request, codes with { High = ceiling }, timing, pointMicroseconds)).ToArray();
        var highest = new Domain.Quantities.Volts(facts.Calibration.Drive.Apply(facts.Rig.Drive.ToVolts(ceiling)));
        return Outcome<SweepProgram>.Accept(new(new PlannedRun(headers, highest, plan.Stop.Value > 0, SweepTime.Floor(pointMicroseconds, points)) { Limits = facts.Ratings?.Limits ?? [] }, passes));
    }

    /// <summary>Repeats outermost, then the second source, then up before down.</summary>
    private static List<PassHeader> Passes(SweepPlan plan)
    {
        PassDirection[] directions = plan.Direction switch
        {
            SweepDirection.Up => [PassDirection.Up],
            SweepDirection.Down => [PassDirection.Down],
            _ => [PassDirection.Up, PassDirection.Down],
        };
        var headers = new List<PassHeader>();
        if (plan.Adaptive is { } rule)
        {
            foreach (var points in rule.Passes(plan.Points)) headers.Add(new(headers.Count, PassDirection.Up, points, 0, null));
            return headers;
        }
        for (var repeat = 0; repeat < plan.Repeats; repeat++)
            for (var step = 0; step < (plan.SecondSource?.Steps ?? 1); step++)
                foreach (var direction in directions)
                    headers.Add(new(headers.Count, direction, plan.Points, repeat, SecondSourceVolts(plan, step)));
        return headers;
    }

    private static double? SecondSourceVolts(SweepPlan plan, int step) =>
        plan.SecondSource is { } s ? Math.Round(s.From.Value + (s.To.Value - s.From.Value) * step / (s.Steps - 1), 6) : null;

    private static PassProgram Program(PassHeader header, SweepRequest request, DriveCodes codes, RigTiming timing, double pointMicroseconds)
    {
        var plan = request.Plan;
        var (from, to) = header.Direction == PassDirection.Up ? (codes.Low, codes.High) : (codes.High, codes.Low);
        var segment = new RigSegment((ushort)from, (ushort)to, header.Points, 0);
        var program = new RigProgram(header.Index, [segment], SweepTime.ChannelMask, (ushort)codes.High, timing, RigWiring.Of(plan.Connection));
        return new(header, program, SuppliesOf(header, request), SweepTime.Floor(pointMicroseconds, header.Points));
    }

    private static SupplySetting SuppliesOf(PassHeader header, SweepRequest request)
    {
        var plan = request.Plan;
        var rail = plan.SecondSource?.Source == SteppedSource.PlateRail ? header.SecondSourceVolts!.Value : plan.Connection.PlateRail.Value;
        var heater = plan.SecondSource?.Source == SteppedSource.Heater ? header.SecondSourceVolts!.Value : plan.Connection.Heater.Value;
        return new(true, heater, true, rail, request.Socket);
    }

    private static RigTiming Timing(SweepPlan plan, BenchFacts facts)
    {
        var step = facts.Rig.Channels[(int)RigChannel.Plate].StepVolts;
        var tolerance = plan.Settle is { } settle ? Math.Max(1, (int)Math.Floor(settle.Tolerance.Value / step + 1e-9)) : 0;
        var timeout = plan.Settle?.TimeoutMicroseconds ?? 0;
        return plan.Averaging switch
        {
            Averaging.Count count => new(plan.DwellMicroseconds, count.Conversions, 0, 0, tolerance, timeout),
            Averaging.MainsPeriods mains => new(plan.DwellMicroseconds, 1, mains.Periods, mains.Hertz, tolerance, timeout),
            _ => throw new InvalidOperationException($"SweepRig bug: unknown averaging {plan.Averaging}."),
        };
    }

    private static int PositivePoints(RigSegment up, BenchFacts facts)
    {
        // Codes rise with the point, so the first positive one is found by halving.
        var notPositive = DriveCodes.NotPositive(facts.Rig, facts.Calibration);
        int low = 0, high = up.Points;
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (up.CodeAt(middle) > notPositive) high = middle;
            else low = middle + 1;
        }
        return up.Points - low;
    }
}
