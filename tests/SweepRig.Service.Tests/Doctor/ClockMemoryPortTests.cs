using SweepRig.Rigs.Serial;
using SweepRig.Service.Contract;
using SweepRig.Service.Doctor;

namespace SweepRig.Service.Tests.Doctor;

public sealed class ClockMemoryPortTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 22, 0, 0, TimeSpan.FromHours(1));

    private readonly FakeMachine _machine = new();

    [Fact]
    public void A_synchronised_clock_is_good_and_names_its_zone() =>
        Assert.Equal("2026-03-14 22:00:00 +01:00 (Europe/Berlin), synchronised to 12.5 ms", Clock().Single().Found);

    [Fact]
    public void An_unsynchronised_clock_is_looked_at()
    {
        _machine.Kernel = new(false, TimeSpan.FromSeconds(16));
        Assert.Equal(Verdict.Look, Clock().Single().Verdict);
    }

    [Fact]
    public void A_run_from_the_future_shows_a_clock_that_is_behind()
    {
        var finding = Clock(newest: Now.AddHours(3)).First();
        Assert.Equal(Verdict.Bad, finding.Verdict);
        Assert.Contains("the newest run began at 2026-03-15 00:00:00Z", finding.Found, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3600, "set forward by 60 minutes")]
    [InlineData(-90, "set back by 90 s")]
    public void A_clock_that_was_set_since_the_service_started_is_told(int jumpedSeconds, string words)
    {
        var found = Clock(service: (Now.AddHours(-2).AddSeconds(-jumpedSeconds), TimeSpan.FromHours(2))).First();
        Assert.Equal(Verdict.Look, found.Verdict);
        Assert.Contains(words, found.Found, StringComparison.Ordinal);
    }

    [Fact]
    public void Summer_time_is_no_jump() =>
        Assert.Single(Clock(service: (Now.AddHours(-2).ToUniversalTime(), TimeSpan.FromHours(2))));

    [Fact]
    public void Memory_is_told_with_that_of_the_service()
    {
        _machine.Files["/proc/77/status"] = "VmRSS:\t  153600 kB\n";
        Assert.Equal("2838 of 3793 MiB available; the service holds 150 MiB", MemoryChecks.Of(_machine, 77).Single().Found);
        _machine.Files["/proc/meminfo"] = "MemTotal: 900000 kB\nMemAvailable: 50000 kB\n";
        Assert.Equal(Verdict.Bad, MemoryChecks.Of(_machine, null).Single().Verdict);
    }

    [Fact]
    public void A_port_of_a_group_that_the_user_is_not_in_says_how_to_join()
    {
        _machine.Owners["/dev/ttyUSB0"] = new(0, 20, 0b110_110_000);
        var finding = Ports().Single();
        Assert.Equal("/dev/ttyUSB0 belongs to root and group dialout, and wren may not open it", finding.Found);
        Assert.Equal("Join the group, then log in again: sudo usermod -aG dialout wren.", finding.Remedy);
        _machine.Files["/proc/self/status"] = "Groups:\t1000 20 \n";
        Assert.Equal(Verdict.Good, Ports().Single().Verdict);
    }

    [Fact]
    public void A_port_that_is_not_there_names_those_that_are()
    {
        var finding = Ports(asked: "/dev/ttyACM3").Single();
        Assert.Equal((Verdict.Bad, "there is no /dev/ttyACM3"), (finding.Verdict, finding.Found));
        Assert.StartsWith("Present: /dev/ttyUSB0.", finding.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_port_in_use_names_who_has_it_unless_it_is_the_service()
    {
        _machine.Owners["/dev/ttyUSB0"] = new(0, 1000, 0b110_110_000);
        Assert.Equal("/dev/ttyUSB0 is in use by picocom, process 41", Ports(holder: new(41, "picocom")).Single().Found);
        Assert.Equal("/dev/ttyUSB0 may be opened; the running service has it; its lasting name is /dev/serial/by-id/usb-rig", Ports(holder: new(77, "sweeprig")).Single().Found);
    }

    [Fact]
    public void A_modem_manager_is_told()
    {
        _machine.Owners["/dev/ttyUSB0"] = new(0, 1000, 0b110_110_000);
        _machine.Directories["/proc"] = ["1", "512", "meminfo"];
        _machine.Files["/proc/512/comm"] = "ModemManager\n";
        Assert.Contains(Ports(), f => f.Verdict == Verdict.Look && f.Found.StartsWith("ModemManager", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("calibrated", "2026-09-01T00:00:00.000Z", Verdict.Good)]
    [InlineData("calibrated", "2026-03-20T00:00:00.000Z", Verdict.Look)]
    [InlineData("stale", "2026-03-01T00:00:00.000Z", Verdict.Look)]
    [InlineData("nominal", null, Verdict.Look)]
    public void A_calibration_is_judged_by_its_age(string state, string? until, Verdict expected) =>
        Assert.Equal(expected, RigChecks.Of(new CalibrationView(state, "cal-1", "2026-01-01T00:00:00.000Z", until, "meter", null, true), "SIM-0001", Now).Verdict);

    private Finding[] Clock(DateTimeOffset? newest = null, (DateTimeOffset, TimeSpan)? service = null) => [.. ClockChecks.Of(_machine, Now, "Europe/Berlin", newest, service)];

    private Finding[] Ports(string? asked = null, PortHolder? holder = null) =>
        [.. PortChecks.Of(_machine, asked, [new("/dev/ttyUSB0", "/dev/serial/by-id/usb-rig")], _ => holder is null ? [] : [holder], serviceId: 77)];
}
