using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>Limits that the rig keeps by itself, whatever the host does. The same for the rig in C#, the firmware as a process and as machine code.</summary>
public sealed class LimitCases
{
    public static TheoryData<RigKind> Rigs => ThreeRigs.All;

    private static RigLimits Limits => SimulatedRigDefaults.HardLimits;

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Grid_current_above_its_limit_trips_with_its_figures(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind, Limits with { GridCurrent = new(1e-3) });
        await Passes.StartAsync(bench.Host, 1, -2, 20, 500, 1_000);

        var tripped = await bench.TrippedAsync(TripCause.GridCurrent);

        Assert.Equal(1_000_000, tripped.Limit);
        // 500 points from -2 V to 20 V: one step is 44 mV over 4.7 kilohm, and four conversions in a row are needed.
        Assert.InRange(tripped.Measured, 1_000_001, 1_100_000);
        Assert.InRange(bench.Rig.HighestDrive(), 5, 9);
        var ended = await bench.Host.UntilAsync<ProgramEnd>(bench.Mark, e => e.Program == 1, "the end of the program");
        Assert.False(ended.Completed);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Cathode_current_above_its_limit_trips(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind, Limits with { CathodeCurrent = new(3e-3) });
        await Passes.StartAsync(bench.Host, 1, -5, 5, 500, 2_000);

        var tripped = await bench.TrippedAsync(TripCause.CathodeCurrent);

        Assert.Equal(3_000_000, tripped.Limit);
        Assert.InRange(tripped.Measured, 3_000_001, 3_300_000);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_drive_that_really_is_above_the_ceiling_trips(RigKind kind)
    {
        await using var bench = await ProbedRig.SweepingAsync(kind, 0, 1, Limits with { DriveCeiling = new(2) }, mask: Passes.All);

        bench.Rig.Inject(new SimulatedFault.DriveOff(3));

        var tripped = await bench.TrippedAsync(TripCause.DriveCeiling);
        Assert.Equal(2_000_000, tripped.Limit);
        Assert.InRange(tripped.Measured, 2_900_000, 4_100_000);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_program_above_the_ceiling_in_force_is_refused(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind, Limits with { DriveCeiling = new(2) });

        var nack = await bench.Host.AskAsync(Passes.Begin(1, 10, ceiling: 3, dwell: 1_000));

        Assert.Equal(NackReason.OutOfRange, nack!.Value.Reason);
        Assert.Equal(Passes.Code(3), nack.Value.Value);
        Assert.Equal(new DriveScale(12, new(-16), new(32)).ToCodeAtOrBelow(new(2)), nack.Value.Limit);
        Assert.True(bench.Rig.HighestDrive() <= -13.9);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_step_above_the_programs_own_ceiling_trips_before_it_reaches_the_grid(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind);
        await bench.Host.DoAsync(Passes.Begin(1, 100, ceiling: 1, dwell: 1_000));
        await bench.Host.DoAsync(new ProgramSegment(1, 0, Passes.Code(0), Passes.Code(2), 100, 0));
        await bench.Host.DoAsync(new ProgramStart(1));

        await bench.TrippedAsync(TripCause.DriveCeiling);

        Assert.True(bench.Rig.HighestDrive() <= 1.01, $"The drive went to {bench.Rig.HighestDrive()} V.");
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_read_back_that_disagrees_trips(RigKind kind)
    {
        await using var bench = await ProbedRig.SweepingAsync(kind, -14, 0);

        bench.Rig.Inject(new SimulatedFault.ReadBackOff(-1.5));

        var tripped = await bench.TrippedAsync(TripCause.DriveReadBack);
        Assert.InRange(tripped.Limit - tripped.Measured, 1_400_000, 1_600_000);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_converter_channel_that_is_stuck_trips(RigKind kind)
    {
        await using var bench = await ProbedRig.SweepingAsync(kind, -14, 0);

        bench.Rig.Inject(new SimulatedFault.ChannelStuck(RigChannel.Drive, 100));

        await bench.TrippedAsync(TripCause.DriveReadBack);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_converter_that_hangs_in_the_air_trips_even_at_rest(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind);

        bench.Rig.OpenConverter();

        // All ones read as 40.9 V on the drive read-back, which is far above the ceiling.
        await bench.TrippedAsync(TripCause.DriveCeiling);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_rail_that_rises_too_far_trips_even_at_rest(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind, Limits with { SupplyMax = new(30) });

        bench.Rig.Inject(new SimulatedFault.SupplyOff(4));

        var tripped = await bench.TrippedAsync(TripCause.SupplyRange);
        Assert.Equal(30_000_000, tripped.Limit);
        Assert.InRange(tripped.Measured, 31_900_000, 32_100_000);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_rail_that_sags_in_a_program_trips(RigKind kind)
    {
        await using var bench = await ProbedRig.SweepingAsync(kind, -14, 0, Limits with { SupplyMin = new(20) });

        bench.Rig.Inject(new SimulatedFault.SupplyOff(-10));

        var tripped = await bench.TrippedAsync(TripCause.SupplyRange);
        Assert.Equal(20_000_000, tripped.Limit);
        Assert.InRange(tripped.Measured, 17_900_000, 18_100_000);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Time_above_0_V_is_budgeted(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind, Limits with { PositiveSecondsPerMinute = 0.2 });
        await Passes.StartAsync(bench.Host, 1, 0.5, 1, 500, 2_000);

        var tripped = await bench.TrippedAsync(TripCause.PositiveTime);

        Assert.Equal(200, tripped.Limit);
        Assert.InRange(tripped.Measured, 200, 205);
    }
}
