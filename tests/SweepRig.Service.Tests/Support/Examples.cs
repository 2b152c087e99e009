using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Service.Tests.Support;

/// <summary>A rig and a run of the museum's tide-clock.</summary>
public static class Examples
{
    public static DateTimeOffset Started { get; } = new(2026, 3, 14, 9, 26, 53, 589, TimeSpan.Zero);

    public static RigIdentity Rig { get; } = new(
        1, "sweeprig-simulated 0.1.0", "simulated", "SIM-0001", 4,
        Supplies.Heater | Supplies.PlateRail | Supplies.HeaterAdjustable | Supplies.PlateRailAdjustable,
        new DriveScale(12, new(-16), new(32)),
        [
            .. RigChannels.All.Select(c => c switch
            {
                RigChannel.Grid => new ChannelScale(c, 12, 4, new(-20.48), new(20.48)),
                RigChannel.Drive => new ChannelScale(c, 12, 4, new(-20.48), new(40.96)),
                _ => new ChannelScale(c, 12, 4, new(0), new(40.96)),
            }),
        ],
        new RigLimits(new(-14), new(26), new(0.008), new(0.030), new(0), new(40), 40),
        300, 16, ResetReason.PowerOn);

    public static RunHeader Header(string? id = null, PlanExample? example = null, DateTimeOffset? started = null)
    {
        var plan = (example ?? PlanExamples.GentlePentode).Plan;
        var at = started ?? Started;
        IReadOnlyList<PassHeader> passes = plan.Direction == SweepDirection.UpAndDown
            ? [new(0, PassDirection.Up, plan.Points, 0, null), new(1, PassDirection.Down, plan.Points, 0, null)]
            : [new(0, PassDirection.Up, plan.Points, 0, null)];
        return new(
            id ?? Guid.CreateVersion7(at).ToString("N"), at, new Tube("SKUA-014", "6AU6", "Skua"), 0, plan, passes,
            RigCalibration.Nominal(Rig), Rig, "0.1.0", null);
    }

    /// <summary>Samples on a straight line that falls from the rail, so that every value can be worked out by hand.</summary>
    /// <param name="firstPoint">Point of the first sample.</param>
    public static SampleBlock Block(int firstPoint, int samples = 7, int pass = 0, int frame = 0)
    {
        ushort[] Column(Func<int, double> code) => [.. Enumerable.Range(firstPoint, samples).Select(i => (ushort)code(i))];
        return new()
        {
            Pass = pass,
            FrameIndex = frame,
            PointIndex = Column(i => i),
            SampledAtTicks = [.. Enumerable.Range(firstPoint, samples).Select(i => 2_000L * i)],
            DriveCode = Column(DriveCode),
            Flags = [.. Enumerable.Repeat(SampleFlags.Settled, samples)],
            AveragedCount = Column(_ => 16),
            Spread = Column(_ => 2),
            Codes = [Column(i => (2_800 - 10 * i) * 16), Column(i => 2_000 * 16), Column(_ => 2_700 * 16), Column(_ => 2_800 * 16), []],
        };
    }

    /// <summary>The drive of a point in <see cref="Block"/>.</summary>
    public static double DriveCode(int point) => 171 + 8 * point;

    /// <summary>One that turns every voltage into <paramref name="gain"/> times it, made some days after <see cref="Started"/> and valid for 180.</summary>
    public static RigCalibration Calibration(string id, string rig, double gain, int madeDaysAfter = 1)
    {
        var correction = new VoltageCorrection(0, gain, 0, 0, 20, new(1e-8, 0, 1e-10, 0, 0, 0), 0.0005, 0.003) { Range = new(-20, 38), Quality = new(9, 0.001) };
        return new(id, rig, [.. RigChannels.All.Select(_ => correction)], correction)
        {
            Origin = new(Started.AddDays(madeDaysAfter), Started.AddDays(madeDaysAfter + 180), new("hand-held meter", "M-7", 0.05, 0, 60, 3, 0.001, 0.2), "", PositivePoints: true),
        };
    }
}
