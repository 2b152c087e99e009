using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Tests.Bus.Simulated;
using static SweepRig.Rigs.Tests.Bus.BusRigs;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>Everything that can go wrong on the bus ends safe by the registers, with one clear message.</summary>
public class BusFaultTests
{
    /// <summary>Chips that fall silent in the middle of a pass, and what the message names.</summary>
    public static TheoryData<int, string> Chips => new()
    {
        { 0x48, "ADS1115 at 0x48" }, { 0x49, "ADS1115 at 0x49" }, { 0x40, "INA219 at 0x40" }, { 0x41, "INA219 at 0x41" },
    };

    [Theory]
    [MemberData(nameof(Chips))]
    public async Task A_chip_that_falls_silent_ends_the_connection_safely(int address, string named)
    {
        var bench = await SweepingAsync(out var rig);
        bench.I2c.Silent.Add(address);
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.True(bench.IsSafe);
        Assert.Equal(0, bench.Switches.Levels);
        Assert.True(gone.Retrying);
        Assert.Contains(named, gone.Reason, StringComparison.Ordinal);
        Assert.Contains("does not answer", gone.Reason, StringComparison.Ordinal);
        Assert.Contains("plate rail and heater are off", gone.Reason, StringComparison.Ordinal);
        Assert.Equal("not-connected", (await RefusedAsync(rig.StopAsync(default))).Code);

        // It is told once that it is still silent, and comes back latched when it answers.
        var still = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Contains(named, still.Reason, StringComparison.Ordinal);
        bench.I2c.Silent.Clear();
        await rig.UntilAsync<RigEvent.Connected>();
        Assert.True((await rig.UntilStatusAsync(_ => true)).Latched);
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_silent_switch_port_leaves_the_drive_safe_and_calls_for_a_hand()
    {
        var bench = await SweepingAsync(out var rig);
        bench.I2c.Silent.Add(0x20);
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Equal(bench.SafeCode, bench.Dac.Output(0));
        Assert.True(bench.RailOn);
        Assert.Contains("Danger: the plate rail and the heater could not be switched off", gone.Reason, StringComparison.Ordinal);
        Assert.Contains("by hand", gone.Reason, StringComparison.Ordinal);
        bench.I2c.Silent.Clear();
        await rig.UntilAsync<RigEvent.Connected>();
        Assert.True(bench.IsSafe, "The first thing it does when the port is back is to switch all off.");
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_failing_DAC_switches_the_rail_off_and_calls_for_a_hand()
    {
        var bench = await SweepingAsync(out var rig);
        bench.Dac.Fails = true;
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.False(bench.RailOn);
        Assert.Contains("AD5328", gone.Reason, StringComparison.Ordinal);
        Assert.Contains("Danger: the drive could not be brought to its safe code", gone.Reason, StringComparison.Ordinal);
        await rig.DisposeAsync();
    }

    /// <summary>The bus falls silent after n more transactions, for every n of more than two points: no place in the pass is one where that hurts.</summary>
    [Fact]
    public async Task The_bus_may_fall_silent_at_any_transaction()
    {
        for (var n = 0; n < 120; n++)
        {
            var bench = new BusBench(BusBench.Clamped);
            await using var rig = bench.MakeRig();
            await rig.MakeReadyAsync(bench);
            bench.I2c.Left = n;
            var run = rig.RunAsync(bench.Program(10, 20, 200), default);
            var gone = await rig.UntilAsync<RigEvent.Disconnected>();
            Assert.True(bench.Dac.Output(0) == bench.SafeCode, $"n = {n}: {gone.Reason}");
            Assert.Contains("does not answer", gone.Reason, StringComparison.Ordinal);
            await run;
        }
    }

    [Fact]
    public async Task A_hung_converter_is_given_up_within_its_deadline()
    {
        var bench = await SweepingAsync(out var rig);
        bench.First.Hung = true;
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.True(bench.IsSafe);
        Assert.Contains("did not finish a conversion within 6 ms", gone.Reason, StringComparison.Ordinal);
        // The library alone would have polled 5,000 times, for three quarters of a second.
        Assert.InRange(bench.Dac.ChangedAt - bench.First.HungSince!.Value, 1, 8_000);
        await rig.DisposeAsync();
    }

    [Theory]
    [InlineData(32767)]
    [InlineData(12345)]
    [InlineData(-5)]
    public async Task A_stuck_converter_ends_the_connection_safely(short code)
    {
        var bench = await SweepingAsync(out var rig, -13, -12);
        bench.First.StuckAt = code;
        var reason = (await rig.UntilAsync<RigEvent.Disconnected>()).Reason;
        Assert.True(bench.IsSafe);
        Assert.Contains($"ADS1115 at 0x48) is stuck: it gives code {code} for each of its inputs", reason, StringComparison.Ordinal);
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_drive_channel_stuck_at_its_end_trips_at_once()
    {
        var bench = await SweepingAsync(out var rig, -13, -12);
        bench.Second.StuckAt = 32767;
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal(TripCause.DriveCeiling, trip.Cause);
        await rig.DisposeAsync();
    }

    [Theory]
    [InlineData(0.8)]
    [InlineData(-0.8)]
    public async Task A_read_back_that_disagrees_trips(double volts)
    {
        var bench = await SweepingAsync(out var rig);
        bench.Inject(new SimulatedFault.ReadBackOff(volts));
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal(TripCause.DriveReadBack, trip.Cause);
        Assert.StartsWith("drive read back", trip.Measured, StringComparison.Ordinal);
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_drive_above_the_ceiling_trips_at_its_first_conversion()
    {
        var bench = await SweepingAsync(out var rig, from: 23, to: 24);
        bench.Inject(new SimulatedFault.DriveOff(1.5));
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal((TripCause.DriveCeiling, "24 V"), (trip.Cause, trip.Limit));
        await rig.DisposeAsync();
    }

    [Theory]
    [InlineData(3.5, "plate rail 31.5 V", "30 V")]
    [InlineData(-8.0, "plate rail 20 V", "21 V")]
    public async Task A_supply_out_of_range_trips(double off, string measured, string limit)
    {
        var config = BusBench.Clamped with { Limits = BusBench.Clamped.Limits with { SupplyMin = new(21) } };
        var bench = await SweepingAsync(out var rig, config: config);
        bench.Inject(new SimulatedFault.SupplyOff(off));
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal((TripCause.SupplyRange, measured, limit), (trip.Cause, trip.Measured, trip.Limit));
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task An_overflow_of_the_rail_meter_trips_at_once()
    {
        var bench = await SweepingAsync(out var rig);
        bench.LeakAmps = 0.2;
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal(TripCause.CathodeCurrent, trip.Cause);
        Assert.Equal("plate rail current beyond what its meter (INA219 at 0x41) can tell", trip.Measured);
        Assert.Equal("cause-present", (await RefusedAsync(rig.ReleaseAsync(default))).Code);
        bench.LeakAmps = 0;
        await rig.UntilStatusAsync(s => s is { Latched: true, CausesPresent: false });
        await AcceptedAsync(rig.ReleaseAsync(default));
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_rail_current_above_its_limit_trips()
    {
        var bench = await SweepingAsync(out var rig);
        bench.LeakAmps = 0.05;
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal((TripCause.CathodeCurrent, "40 mA"), (trip.Cause, trip.Limit));
        Assert.StartsWith("plate rail current 5", trip.Measured, StringComparison.Ordinal);
        await rig.DisposeAsync();
    }

    [Theory]
    [InlineData(0.3, 5.0, "heater voltage 5 V", "6.3 V, 10 % either way")]
    [InlineData(0.9, 6.3, "heater current 900 mA", "600 mA")]
    [InlineData(3.0, 6.3, "heater current beyond what its meter (INA219 at 0x40) can tell", "600 mA")]
    public async Task A_heater_supply_that_is_wrong_trips_once_the_inrush_is_over(double amps, double volts, string measured, string limit)
    {
        var bench = new BusBench(BusBench.Clamped) { WarmHeaterAmps = amps, HeaterVolts = volts };
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        await AcceptedAsync(rig.ReleaseAsync(default));
        await AcceptedAsync(rig.SetSuppliesAsync(new(true, 6.3, false, 0, 0), default));
        var inrush = await rig.UntilStatusAsync(s => s.HeaterOnFor > TimeSpan.FromSeconds(4));
        Assert.False(inrush.Latched);
        var trip = await rig.UntilTripAsync();
        Assert.Equal((TripCause.HeaterSupply, measured, limit), (trip.Cause, trip.Measured, trip.Limit));
        Assert.True(bench.IsSafe);
    }

    [Fact]
    public async Task The_emergency_stop_trips_and_holds_the_latch()
    {
        var bench = await SweepingAsync(out var rig);
        bench.Switches.Driven = 1 << 15;
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal(TripCause.EmergencyStop, trip.Cause);
        Assert.Equal("cause-present", (await RefusedAsync(rig.ReleaseAsync(default))).Code);
        Assert.Equal(1 << 15, bench.Switches.PullUps);
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_switch_port_that_lost_its_supply_is_noticed()
    {
        var bench = await SweepingAsync(out var rig);
        bench.Switches.PowerCycle();
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.True(bench.IsSafe);
        Assert.Contains("has lost its settings", gone.Reason, StringComparison.Ordinal);
        await rig.DisposeAsync();
    }

    [Fact]
    public async Task A_switch_that_does_not_obey_is_noticed()
    {
        var bench = new BusBench(BusBench.Clamped);
        bench.Switches.Dead = 1 << 9;
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        await AcceptedAsync(rig.ReleaseAsync(default));
        Assert.Equal("no-answer", (await RefusedAsync(rig.SetSuppliesAsync(new(true, 6.3, true, 28, 0), default))).Code);
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Contains("does not hold what it was told", gone.Reason, StringComparison.Ordinal);
        Assert.Equal(0, bench.Switches.Levels);
    }

    [Theory]
    [InlineData(0x48, "the converter of plate, grid, screen (ADS1115 at 0x48) does not answer")]
    [InlineData(0x41, "the meter of the plate rail (INA219 at 0x41) does not answer")]
    [InlineData(0x20, "the switch port (MCP23017 at 0x20) does not answer")]
    public async Task A_wrong_address_is_named(int address, string message)
    {
        var bench = new BusBench(BusBench.Example);
        bench.I2c.Silent.Add(address);
        await using var rig = bench.MakeRig();
        rig.Start();
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Contains(message, gone.Reason, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("its address", gone.Reason, StringComparison.Ordinal);
        Assert.True(bench.IsSafe);
    }

    [Theory]
    [InlineData(0x40)]
    [InlineData(0x48)]
    public async Task Another_chip_at_an_address_is_told_from_the_right_one(int address)
    {
        var bench = new BusBench(BusBench.Example);
        bench.I2c.Put(address, address == 0x40 ? bench.First : bench.HeaterMeter);
        await using var rig = bench.MakeRig();
        rig.Start();
        var gone = await rig.UntilAsync<RigEvent.Disconnected>();
        Assert.Contains($"at 0x{address:x2}", gone.Reason, StringComparison.Ordinal);
        Assert.True(bench.IsSafe);
    }

    [Fact]
    public async Task A_DAC_on_the_wrong_SPI_mode_is_found_by_the_read_back()
    {
        var bench = new BusBench(BusBench.Clamped);
        bench.Dac.Mode = System.Device.Spi.SpiMode.Mode0;
        await using var rig = bench.MakeRig();
        await rig.ConnectAsync();
        await rig.UntilStatusAsync(s => s.CausesPresent);
        Assert.Equal("cause-present", (await RefusedAsync(rig.ReleaseAsync(default))).Code);
    }

    [Fact]
    public async Task Too_long_above_zero_trips()
    {
        var config = BusBench.Clamped with { Limits = BusBench.Clamped.Limits with { PositiveSecondsPerMinute = 2 } };
        var bench = await SweepingAsync(out var rig, from: 1, to: 2, config: config);
        var trip = await rig.UntilTripAsync();
        Assert.True(bench.IsSafe);
        Assert.Equal((TripCause.PositiveTime, "2 s"), (trip.Cause, trip.Limit));
        await rig.DisposeAsync();
    }

    private static Task<BusBench> SweepingAsync(out BusRig rig, double from = -2, double to = 20, Rigs.Bus.Configuration.BusConfig? config = null)
    {
        var bench = new BusBench(config ?? BusBench.Clamped);
        rig = bench.MakeRig();
        return StartAsync(rig);

        async Task<BusBench> StartAsync(BusRig started)
        {
            await started.MakeReadyAsync(bench);
            var program = bench.Program(from, to, 200);
            // Long enough to outlast any test: a hundred times two hundred points at ten milliseconds each.
            await AcceptedAsync(started.RunAsync(program with { Segments = [program.Segments[0] with { Points = 200 }, .. Enumerable.Range(1, 60).Select(i => program.Segments[0] with { FirstPoint = 200 * i })] }, default));
            await started.UntilAsync<RigEvent.Block>();
            return bench;
        }
    }
}
