using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Tests.Bus.Simulated;
using static SweepRig.Rigs.Tests.Bus.BusRigs;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>A direct bus rig as the runner meets it: latch, limits, refusals, the end.</summary>
public class BusRigTests
{
    [Fact]
    public async Task It_introduces_itself_by_its_configuration()
    {
        var bench = new BusBench(BusBench.Clamped);
        await using var rig = bench.MakeRig();
        rig.Start();
        var identity = (await rig.UntilAsync<RigEvent.Connected>()).Identity;
        Assert.Equal(("direct bus", "BUS-001", 4, 0, 0), (identity.Board, identity.SerialNumber, identity.Sockets, identity.ProtocolVersion, identity.LeaseMilliseconds));
        Assert.Equal(Supplies.Heater | Supplies.PlateRail, identity.Supplies);
        Assert.Equal((24.0, -14.0), (identity.HardLimits.DriveCeiling.Value, identity.HardLimits.DriveFloor.Value));
        // 15 bits of 4.096 V behind a divider by ten (SBAS444D, Table 3: 125 µV a step), and the DAC's 12.
        Assert.Equal(1.25e-3, identity.Channels[0].StepVolts, 1e-9);
        Assert.Equal(12, identity.Drive.Bits);
        Assert.Equal("direct bus BUS-001 on the simulated buses", rig.Name);
    }

    [Fact]
    public async Task It_starts_latched_safe_and_with_everything_off()
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        var status = await rig.UntilStatusAsync(_ => true);
        Assert.Equal((true, TripCause.PowerUp, false, false, false, false), (status.Latched, status.Cause, status.CausesPresent, status.HeaterOn, status.PlateRailOn, status.Running));
        Assert.Equal(-14, status.Drive, 0.02);
        Assert.True(bench.IsSafe);
        Assert.Equal(0, bench.Switches.Levels);
        Assert.Equal("latched", (await RefusedAsync(rig.RunAsync(bench.Program(-14, 0, 10), default))).Code);
        Assert.Equal("latched", (await RefusedAsync(rig.SetSuppliesAsync(new(true, 6.3, true, 28, 0), default))).Code);
    }

    [Fact]
    public async Task Positive_drive_is_refused_without_a_declared_clamp_and_the_refusal_says_why()
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        Assert.Equal(0, rig.Identity!.HardLimits.DriveCeiling.Value);
        Assert.Contains("no hardware clamp", rig.Identity.CeilingReason, StringComparison.Ordinal);
        var refused = await RefusedAsync(rig.RunAsync(bench.Program(-14, 5, 20), default));
        Assert.Equal("out-of-range", refused.Code);
        Assert.Contains("no watchdog", refused.Explanation, StringComparison.Ordinal);
        Assert.Contains("\"clamp\"", refused.Explanation, StringComparison.Ordinal);
        var zero = bench.Config.Drive.Scale.ToCodeAtOrBelow(new(0));
        Assert.All(bench.DriveCodes, code => Assert.InRange(code, 0, zero));
    }

    [Theory]
    [InlineData(24, 12, 12, "holds the drive at 12 V")]
    [InlineData(10, 12, 10, null)]
    public async Task The_ceiling_is_the_lower_of_clamp_and_limit(double limit, double clamp, double ceiling, string? why)
    {
        var config = BusBench.Example with { Clamp = new("a zener diode", new(clamp)), Limits = BusBench.Example.Limits with { DriveCeiling = new(limit) } };
        var bench = new BusBench(config);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        Assert.Equal(ceiling, rig.Identity!.HardLimits.DriveCeiling.Value);
        if (why is null) Assert.Null(rig.Identity.CeilingReason);
        else Assert.Contains(why, rig.Identity.CeilingReason, StringComparison.Ordinal);
        await RefusedAsync(rig.RunAsync(bench.Program(-14, ceiling + 0.1, 20), default));
        Assert.NotEmpty(await rig.SweepAsync(bench.Program(-14, ceiling, 20)));
    }

    /// <summary>A program that fits the rig and not itself: its last codes are above the ceiling that it names.</summary>
    [Fact]
    public async Task A_code_above_the_ceiling_of_its_program_is_never_written()
    {
        var bench = new BusBench(BusBench.Clamped);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        var ceiling = (ushort)bench.Config.Drive.Scale.ToCodeAtOrBelow(new(-5));
        await AcceptedAsync(rig.RunAsync(bench.Program(-14, 0, 20) with { CeilingCode = ceiling }, default));
        var trip = await rig.UntilTripAsync();
        Assert.Equal(TripCause.DriveCeiling, trip.Cause);
        Assert.InRange(bench.DriveCodes.Max(), ceiling - 200, ceiling);
        Assert.True(bench.IsSafe);
    }

    [Fact]
    public async Task A_safe_order_overtakes_a_pass_and_latches()
    {
        var bench = new BusBench(BusBench.Clamped);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        await AcceptedAsync(rig.RunAsync(bench.Program(-14, 20, 20_000), default));
        await rig.UntilAsync<RigEvent.Block>();
        await AcceptedAsync(rig.MakeSafeAsync(default));
        Assert.True(bench.IsSafe);
        Assert.True(bench.HeaterOn, "A warm cathode behind a cut-off grid and a dead rail harms nothing.");
        var ended = await rig.UntilAsync<RigEvent.PassEnded>();
        Assert.False(ended.Completed);
        var trip = await rig.UntilTripAsync();
        Assert.Equal((TripCause.HostOrder, false), (trip.Cause, trip.ByRig));
        Assert.Equal("latched", (await RefusedAsync(rig.RunAsync(bench.Program(-14, 0, 10), default))).Code);
        await AcceptedAsync(rig.ReleaseAsync(default));
        await AcceptedAsync(rig.SetSuppliesAsync(new(true, 6.3, true, 28, 0), default));
        Assert.NotEmpty(await rig.SweepAsync(bench.Program(-14, 0, 10)));
    }

    [Fact]
    public async Task A_stop_ends_the_pass_and_leaves_the_supplies()
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        await AcceptedAsync(rig.RunAsync(bench.Program(-14, 0, 2_000), default));
        Assert.Equal("busy", (await RefusedAsync(rig.SetSuppliesAsync(new(true, 6.3, false, 0, 0), default))).Code);
        Assert.Equal("busy", (await RefusedAsync(rig.RunAsync(bench.Program(-14, 0, 10), default))).Code);
        await AcceptedAsync(rig.StopAsync(default));
        Assert.False((await rig.UntilAsync<RigEvent.PassEnded>()).Completed);
        Assert.Equal((bench.SafeCode, true), (bench.Dac.Output(0), bench.RailOn));
        Assert.False((await rig.UntilStatusAsync(s => !s.Running)).Latched);
    }

    [Theory]
    [InlineData("plate", 22_000, 100, 4_700)]
    [InlineData("screen", 10_000, 1_000, 4_700)]
    [InlineData("grid stopper", 10_000, 100, 47_000)]
    public async Task A_plan_for_other_resistors_is_refused(string which, int plate, int screen, int stopper)
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        var program = bench.Program(-14, 0, 10);
        var refused = await RefusedAsync(rig.RunAsync(program with { Wiring = program.Wiring with { PlateResistorOhms = plate, ScreenResistorOhms = screen, GridStopperOhms = stopper } }, default));
        Assert.Equal("bad-program", refused.Code);
        Assert.Contains(which, refused.Explanation, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(4, 6.3, 28, "sockets 0 to 3")]
    [InlineData(0, 12.6, 28, "gives 6.3 V")]
    [InlineData(0, 6.3, 31, "the limit is 30 V")]
    [InlineData(0, double.NaN, 28, "gives 6.3 V")]
    [InlineData(0, 6.3, double.NaN, "the limit is 30 V")]
    public async Task Supplies_that_it_does_not_have_are_refused(int socket, double heater, double rail, string why)
    {
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        await AcceptedAsync(rig.ReleaseAsync(default));
        var refused = await RefusedAsync(rig.SetSuppliesAsync(new(true, heater, true, rail, socket), default));
        Assert.Equal("out-of-range", refused.Code);
        Assert.Contains(why, refused.Explanation, StringComparison.Ordinal);
        Assert.Equal(0, bench.Switches.Levels);
    }

    [Fact]
    public async Task Limits_can_only_be_made_tighter()
    {
        var bench = new BusBench(BusBench.Clamped);
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        var hard = rig.Identity!.HardLimits;
        Assert.Equal("looser-than-hard-limit", (await RefusedAsync(rig.SetLimitsAsync(hard with { DriveCeiling = new(24.5) }, default))).Code);
        await AcceptedAsync(rig.SetLimitsAsync(hard with { DriveCeiling = new(10) }, default));
        Assert.Equal("looser-than-hard-limit", (await RefusedAsync(rig.SetLimitsAsync(hard, default))).Code);
        Assert.Equal("out-of-range", (await RefusedAsync(rig.SetLimitsAsync(hard with { PositiveSecondsPerMinute = double.NaN }, default))).Code);
        await AcceptedAsync(rig.ReleaseAsync(default));
        Assert.Equal("out-of-range", (await RefusedAsync(rig.RunAsync(bench.Program(-14, 12, 10), default))).Code);
    }

    [Fact]
    public async Task Sockets_and_connections_never_overlap_and_switch_without_rail()
    {
        // The bench itself asserts at every write that no two sockets and not both screen relays are on.
        var bench = new BusBench(BusBench.Example);
        await using var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        await rig.SweepAsync(bench.Program(-14, 0, 5));
        await rig.SweepAsync(bench.Program(-14, 0, 5, Domain.Tubes.ConnectionKind.Triode));
        await AcceptedAsync(rig.SetSuppliesAsync(new(true, 6.3, true, 28, 2), default));
        Assert.Equal((1 << 2) | (1 << 5) | (1 << 8) | (1 << 9), bench.Switches.Levels);
    }

    [Fact]
    public async Task Nothing_is_left_on_when_it_is_disposed_in_the_middle_of_a_pass()
    {
        var bench = new BusBench(BusBench.Clamped);
        var rig = bench.MakeRig();
        await rig.MakeReadyAsync(bench);
        await AcceptedAsync(rig.RunAsync(bench.Program(-14, 20, 20_000), default));
        await rig.UntilAsync<RigEvent.Block>();
        await rig.DisposeAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal((0, 1, 1), (bench.Switches.Levels, bench.Opened, bench.Closed));
        Assert.Equal("not-connected", (await RefusedAsync(rig.StopAsync(default))).Code);
        Assert.Equal("not-connected", (await RefusedAsync(rig.MakeSafeAsync(default))).Code);
    }

    [Fact]
    public async Task A_bus_that_cannot_be_opened_is_told_once_and_tried_again()
    {
        var bench = new BusBench(BusBench.Example) { Shut = "There is no I2C bus 1 on this machine." };
        await using var rig = bench.MakeRig();
        rig.Start();
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Equal(("There is no I2C bus 1 on this machine.", true), (gone.Reason, gone.Retrying));
        Assert.Equal("not-connected", (await RefusedAsync(rig.ReleaseAsync(default))).Code);
        bench.Shut = null;
        Assert.IsType<RigEvent.Connected>(await rig.NextAsync());
    }
}
