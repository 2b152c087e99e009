using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Planning;

/// <param name="PositiveSecondsUsed">Positive drive held within the last minute.</param>
public sealed record HoldFacts(RigIdentity Rig, RigCalibration Calibration, RigLimits Limits, Permit? Permit, DateTimeOffset NowUtc, double PositiveSecondsUsed);

/// <summary>Turns a point to be held into a program for one rig, or refuses with every reason. Pure.</summary>
public static class HoldPlanner
{
    /// <summary>One sample: the drive settles, then 128 conversions of each channel. About 15 ms with conversions of 16 µs.</summary>
    private const int DwellMicroseconds = 5_000, Conversions = 128;

    /// <summary>A rig counts positive time by its own clock; this much of its budget is left to it.</summary>
    private const double BudgetMarginSeconds = 2;

    public static Outcome<SweepProgram> Plan(HoldRequest request, HoldFacts facts)
    {
        var (rig, limits) = (facts.Rig, facts.Limits);
        var reasons = new List<Refusal>();
        var code = request.DriveCode;
        var isCode = code >= 0 && code <= rig.Drive.MaxCode;
        var nominal = rig.Drive.ToVolts(Math.Clamp(code, 0, rig.Drive.MaxCode));
        var drive = facts.Calibration.Drive.Apply(nominal);
        var highest = Math.Max(nominal, drive);
        if (!isCode || nominal < limits.DriveFloor.Value - 1e-9 || highest > limits.DriveCeiling.Value + 1e-9)
        {
            reasons.Add(new("drive-out-of-range", "", isCode ? $"a drive of {new Volts(nominal)} was to be held" : $"DAC code {code} was to be held",
                $"{limits.DriveFloor} to {limits.DriveCeiling} is allowed", "Hold a point within this range."));
        }
        if (request.Socket < 0 || request.Socket >= rig.Sockets)
            reasons.Add(new("socket-absent", "", $"socket {request.Socket} was asked for", $"this rig has sockets 0 to {rig.Sockets - 1}", "Name one of these."));
        if (request.PlateRailVolts is { } rail && !(rail >= Math.Max(limits.SupplyMin.Value, PlanLimits.MinSupplyVolts) && rail <= Math.Min(limits.SupplyMax.Value, Domain.Tubes.ExtraLowVoltage.Limit.Value)))
            reasons.Add(new("rail-out-of-range", "", $"a plate rail of {new Volts(rail)} was to be held", $"this rig allows {limits.SupplyMin} to {limits.SupplyMax}", "Hold a rail within this range."));
        var positive = isCode && code > DriveCodes.NotPositive(rig, facts.Calibration);
        var longest = positive && request.Longest > HoldRequest.LongestPositive ? HoldRequest.LongestPositive : request.Longest;
        if (positive) Positive(highest, longest, facts, reasons);
        if (reasons.Count > 0) return Outcome<SweepProgram>.Refuse(reasons);

        var sample = DwellMicroseconds + (double)SweepTime.Channels * Conversions * rig.ConversionMicroseconds;
        var points = (int)Math.Clamp(Math.Ceiling(longest.TotalMicroseconds / sample), HoldSession.EnoughSamples + 4, PlanLimits.MaxPoints);
        var header = new PassHeader(0, PassDirection.Up, points, 0, null);
        var program = new RigProgram(
            0, [new RigSegment((ushort)code, (ushort)code, points, 0)], SweepTime.ChannelMask, (ushort)code, new(DwellMicroseconds, Conversions, 0, 0, 0, 0), RigWiring.Of(request.Fixture));
        var supplies = new SupplySetting(request.HeaterVolts is not null, request.HeaterVolts ?? 0, request.PlateRailVolts is not null, request.PlateRailVolts ?? 0, request.Socket);
        var floor = SweepTime.Floor(sample, points);
        return Outcome<SweepProgram>.Accept(new(new PlannedRun([header], new(drive), positive, floor), [new(header, program, supplies, floor)]));
    }

    /// <summary>The hold in the words of a plan, for those parts that speak of one.</summary>
    public static SweepPlan PlanOf(HoldRequest request) => new(
        "Held for the meter", new(0), new(0), 1, SweepDirection.Up, DwellMicroseconds, new Averaging.Count(Conversions), null, 1, null, request.Fixture);

    private static void Positive(double volts, TimeSpan longest, HoldFacts facts, List<Refusal> reasons)
    {
        var asked = $"a drive of {new Volts(volts)} was to be held";
        if (facts.Permit is not { } permit || facts.NowUtc >= permit.EndsUtc)
        {
            reasons.Add(new("positive-drive-without-permit", "", asked, "without a permit the highest drive is 0 V",
                $"Grant a permit up to {new Volts(volts)} with a reason, or leave the positive points out."));
            return;
        }
        if (volts > permit.Ceiling.Value + 1e-9)
            reasons.Add(new("drive-above-permit", "", asked, $"the permit in force ends at {permit.Ceiling}", $"End this permit and grant one up to {new Volts(volts)}, or leave the positive points out."));
        var left = permit.EndsUtc - facts.NowUtc;
        if (left < longest + TimeSpan.FromSeconds(2))
            reasons.Add(new("permit-too-short", "", $"the point may be held for {Seconds(longest.TotalSeconds)} s", $"the permit in force ends in {Seconds(left.TotalSeconds)} s", "Grant another permit, then hold the point."));
        var budget = facts.Limits.PositiveSecondsPerMinute - BudgetMarginSeconds;
        if (facts.PositiveSecondsUsed + longest.TotalSeconds > budget)
            reasons.Add(new("positive-time-over-budget", "", $"{asked} for {Seconds(longest.TotalSeconds)} s", $"{Seconds(facts.PositiveSecondsUsed)} s of the {Seconds(facts.Limits.PositiveSecondsPerMinute)} s in any minute are used",
                "Wait a minute, then hold it."));
    }

    private static string Seconds(double seconds) => seconds.ToString("0.#", CultureInfo.InvariantCulture);
}
