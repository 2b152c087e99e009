using SweepRig.Service.Doctor;

namespace SweepRig.Service.Tests.Doctor;

public sealed class DiskAndDataTests
{
    private readonly FakeMachine _machine = new();

    [Fact]
    public void A_sound_directory_is_good()
    {
        Assert.All(DataChecks.Of(_machine, "/data").Concat(DiskChecks.Of(_machine, "/data")), f => Assert.Equal(Verdict.Good, f.Verdict));
        Assert.Equal("/data: a write is on the disk after 4.2 ms", DataChecks.Of(_machine, "/data").Single().Found);
        Assert.Equal("12.0 GiB of 31.0 GiB free for /data", DiskChecks.Of(_machine, "/data").Single().Found);
    }

    [Fact]
    public void A_directory_of_another_user_is_bad_and_says_how_to_give_it()
    {
        _machine.Owners["/data"] = new(990, 990, 0b111_101_101);
        var finding = DataChecks.Of(_machine, "/data").First();
        Assert.Equal(Verdict.Bad, finding.Verdict);
        Assert.Equal("/data belongs to sweeprig, and this is wren", finding.Found);
        Assert.Contains("chown", finding.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Root_in_the_directory_of_a_user_is_warned()
    {
        _machine.UserId = 0;
        Assert.Equal(Verdict.Look, DataChecks.Of(_machine, "/data").First().Verdict);
    }

    [Fact]
    public void A_directory_that_everybody_may_write_is_told()
    {
        _machine.Owners["/data"] = new(1000, 1000, 0b111_111_111);
        Assert.Contains(DataChecks.Of(_machine, "/data"), f => f.Verdict == Verdict.Look && f.Found.Contains("mode 777", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(150, Verdict.Good)]
    [InlineData(350, Verdict.Look)]
    public void A_slow_write_is_told(int milliseconds, Verdict expected)
    {
        _machine.Written = (TimeSpan.FromMilliseconds(milliseconds), null);
        Assert.Equal(expected, DataChecks.Of(_machine, "/data").Single().Verdict);
    }

    [Fact]
    public void A_failed_write_is_bad_with_its_reason()
    {
        _machine.Written = (TimeSpan.Zero, "Read-only file system : '/data/doctor.7'");
        var finding = DataChecks.Of(_machine, "/data").Single();
        Assert.Equal(Verdict.Bad, finding.Verdict);
        Assert.Contains("Read-only file system", finding.Found, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1L << 31, Verdict.Good)]
    [InlineData(500L << 20, Verdict.Look)]
    [InlineData(20L << 20, Verdict.Bad)]
    public void Little_room_is_told_with_the_reserve(long free, Verdict expected)
    {
        _machine.Disk = _machine.Disk with { FreeBytes = free };
        var finding = DiskChecks.Of(_machine, "/data").Single();
        Assert.Equal(expected, finding.Verdict);
        if (expected != Verdict.Good) Assert.Contains("1.0 GiB is a good reserve", finding.Found, StringComparison.Ordinal);
    }

    [Fact]
    public void Few_files_a_read_only_mount_and_a_locked_card_are_told()
    {
        _machine.Disk = _machine.Disk with { FreeFiles = 12, ReadOnly = true };
        _machine.Links["/sys/dev/block/179:2"] = "/sys/devices/mmc0/block/mmcblk0/mmcblk0p2";
        _machine.Files["/sys/devices/mmc0/block/mmcblk0/mmcblk0p2/partition"] = "2\n";
        _machine.Files["/sys/devices/mmc0/block/mmcblk0/ro"] = "1\n";
        _machine.Files["/sys/fs/ext4/mmcblk0p2/errors_count"] = "3\n";
        var bad = DiskChecks.Of(_machine, "/data").Where(f => f.Verdict == Verdict.Bad).Select(f => f.Found).ToArray();
        Assert.Equal(4, bad.Length);
        Assert.Contains("mounted read-only", bad[0], StringComparison.Ordinal);
        Assert.Contains("only 12 more files", bad[1], StringComparison.Ordinal);
        Assert.Contains("counts 3 errors", bad[2], StringComparison.Ordinal);
        Assert.Contains("mmcblk0 itself is write-protected", bad[3], StringComparison.Ordinal);
    }

    // JESD84-B51, 7.4.35 and 7.4.37 (from memory): 0x01 is 0 to 10 % of the life used, 0x0A 90 to 100 %, 0x0B past it; PRE_EOL_INFO 1 normal, 2 warning, 3 urgent.
    [Theory]
    [InlineData("0x01 0x02", "0x01", Verdict.Good, "10 to 20 %")]
    [InlineData("0x09 0x03", "0x01", Verdict.Look, "80 to 90 %")]
    [InlineData("0x02 0x01", "0x02", Verdict.Look, "10 to 20 %")]
    [InlineData("0x02 0x01", "0x03", Verdict.Bad, "10 to 20 %")]
    [InlineData("0x0b 0x01", "0x01", Verdict.Bad, "past its estimated life")]
    public void Wear_of_an_eMMC_is_read_as_its_standard_says(string life, string reserve, Verdict expected, string words)
    {
        _machine.Links["/sys/dev/block/179:2"] = "/sys/mmcblk0";
        _machine.Files["/sys/mmcblk0/device/life_time"] = life + "\n";
        _machine.Files["/sys/mmcblk0/device/pre_eol_info"] = reserve + "\n";
        var card = DiskChecks.Of(_machine, "/data").Single(f => f.Topic == "card");
        Assert.Equal(expected, card.Verdict);
        Assert.Contains(words, card.Found, StringComparison.Ordinal);
    }

    [Fact]
    public void An_SD_card_is_told_to_say_nothing()
    {
        _machine.Links["/sys/dev/block/179:2"] = "/sys/mmcblk0";
        _machine.Files["/sys/mmcblk0/device/type"] = "SD\n";
        _machine.Files["/sys/mmcblk0/device/name"] = "SC32G\n";
        Assert.Contains("SC32G", DiskChecks.Of(_machine, "/data").Single(f => f.Topic == "card").Found, StringComparison.Ordinal);
    }

    [Fact]
    public void Before_the_directory_is_made_the_disk_above_it_is_looked_at() =>
        Assert.Equal(Verdict.Good, DiskChecks.Of(_machine, "/nowhere/yet").Single().Verdict);
}
