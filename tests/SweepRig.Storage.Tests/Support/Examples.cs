using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Storage.Tests.Support;

internal static class Examples
{
    public static DateTimeOffset Started { get; } = new(2026, 3, 14, 9, 26, 53, 589, TimeSpan.Zero);

    public static Connection Connection { get; } = new(
        ConnectionKind.Pentode, new Volts(28), new Volts(-14), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700));

    public static RigIdentity Rig { get; } = new(
        1, "sweeprig-simulated 0.1.0", "simulated", "SIM-0001", 4, Supplies.Heater | Supplies.PlateRail,
        new DriveScale(12, new Volts(-16), new Volts(32)),
        [
            .. RigChannels.All.Select(c => c is RigChannel.Grid
                ? new ChannelScale(c, 12, 4, new Volts(-20.48), new Volts(20.48))
                : new ChannelScale(c, 12, 4, new Volts(0), new Volts(40.96))),
        ],
        new RigLimits(new Volts(-14), new Volts(26), new Amps(0.008), new Amps(0.030), new Volts(0), new Volts(40), 40),
        300, 16, ResetReason.PowerOn);

    public static Permit Permit { get; } = new(
        Guid.Parse("0195a0d0-0000-7000-8000-000000000001"), new Volts(24), TimeSpan.FromMinutes(5), "How far may SKUA-014 go?", Started);

    public static RunHeader Header(string? id = null, SweepPlan? plan = null, Permit? permit = null) => new(
        id ?? Guid.CreateVersion7(Started).ToString("N"),
        Started,
        new Tube("SKUA-014", "6AU6", "Skua"),
        0,
        plan ?? Plan,
        [new PassHeader(0, PassDirection.Up, 191, 0, null), new PassHeader(1, PassDirection.Down, 191, 0, null)],
        RigCalibration.Nominal(Rig),
        Rig,
        "0.1.0",
        permit);

    public static VoltageCorrection Correction { get; } = new(12.03, 1.004, 0.02, 12, 26, new(1e-6, 1e-8, 1e-9, -2e-7, 1e-9, 3e-6), 0.0005, 0.003)
    {
        Range = new(-14, 38),
        Quality = new(9, 0.0012),
    };

    public static RigCalibration Calibration { get; } = new("cal-1", Rig.SerialNumber, [.. RigChannels.All.Select(_ => Correction)], Correction)
    {
        Origin = new(Started, Started.AddDays(180), new("hand-held meter", "M-7", 0.05, 0, 60, 3, 0.001, 0.2), "Workshop", PositivePoints: true),
        Resistors = [new(ResistorPlace.Plate, 10_000, 10_013.5, 11.6)],
    };

    public static SweepPlan Plan { get; } = new(
        "Tide-clock inverter", new Volts(-14), new Volts(24), 191, SweepDirection.UpAndDown, 2000, new Averaging.Count(16),
        new SettleRule(new Volts(0.02), 20_000), 1, null, Connection);

    /// <summary>A block of seven samples of four channels whose every value follows from its number.</summary>
    public static SampleBlock Block(int number, int samples = 7)
    {
        var random = new Random(number);
        ushort[] Column() => [.. Enumerable.Range(0, samples).Select(_ => (ushort)random.Next(65536))];
        return new()
        {
            Pass = number / 100,
            FrameIndex = number % 100,
            PointIndex = [.. Enumerable.Range(0, samples).Select(i => (ushort)(number % 100 * samples + i))],
            SampledAtTicks = [.. Enumerable.Range(0, samples).Select(_ => random.NextInt64())],
            DriveCode = Column(),
            Flags = [.. Enumerable.Range(0, samples).Select(_ => (SampleFlags)random.Next(8))],
            AveragedCount = Column(),
            Spread = Column(),
            Codes = [Column(), Column(), Column(), Column(), []],
        };
    }

    public static void AssertSame(SampleBlock expected, SampleBlock actual)
    {
        Assert.Equal(expected.Pass, actual.Pass);
        Assert.Equal(expected.FrameIndex, actual.FrameIndex);
        Assert.Equal(expected.PointIndex, actual.PointIndex);
        Assert.Equal(expected.SampledAtTicks, actual.SampledAtTicks);
        Assert.Equal(expected.DriveCode, actual.DriveCode);
        Assert.Equal(expected.Flags, actual.Flags);
        Assert.Equal(expected.AveragedCount, actual.AveragedCount);
        Assert.Equal(expected.Spread, actual.Spread);
        Assert.Equal(expected.Codes, actual.Codes);
    }

    /// <summary>Records compare their lists by reference; text of the whole does not.</summary>
    public static void AssertSame(RunHeader expected, RunHeader actual)
    {
        Assert.Equal(expected.Passes, actual.Passes);
        Assert.Equal(expected.Rig.Channels, actual.Rig.Channels);
        Assert.Equal(expected.Calibration.Channels, actual.Calibration.Channels);
        Assert.Equal(
            expected,
            actual with
            {
                Passes = expected.Passes,
                Rig = actual.Rig with { Channels = expected.Rig.Channels },
                Calibration = actual.Calibration with { Channels = expected.Calibration.Channels },
            });
    }
}
