using SweepRig.Service.Hosting.Systemd;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Hosting;

public sealed class SystemFilesTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task The_unit_starts_what_was_asked_for_and_nothing_is_left_open_in_it()
    {
        var run = await CliRun.OfAsync(_data.Path, ["service", "unit", "--executable", "/opt/sweep rig/sweeprig", "--port", "/dev/sweeprig/A1", "--user", "wren"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("\nExecStart=\"/opt/sweep rig/sweeprig\" serve --port /dev/sweeprig/A1\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("\nUser=wren\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("\nType=notify\n", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('@', run.Output.Replace("@system-service", "", StringComparison.Ordinal));
    }

    // systemd.service(5), "Command lines": % and $ are specifiers and variables unless doubled.
    [Fact]
    public void Signs_that_systemd_would_read_are_kept_from_it() =>
        Assert.Contains("ExecStart=/opt/sweeprig serve --port \"/dev/50%%$$x\"\n", SystemFiles.Unit("/opt/sweeprig", ["--port", "/dev/50%$x"], "wren"), StringComparison.Ordinal);

    [Fact]
    public void The_rule_is_for_all_adapters_or_for_one()
    {
        Assert.Contains("ATTRS{serial}==\"?*\"", SystemFiles.UdevRule(null), StringComparison.Ordinal);
        Assert.Contains("ATTRS{serial}==\"A10K5PXY\"", SystemFiles.UdevRule("A10K5PXY"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("service unit --user wren;reboot", "--user wren;reboot: allowed is letters")]
    [InlineData("service udev-rule --serial A\"1", "--serial A\"1: allowed is letters")]
    [InlineData("service unit --port /dev/ttyUSB0 --bus b.json", "--port and --bus exclude each other")]
    public async Task Bad_input_is_told(string command, string expected)
    {
        var run = await CliRun.OfAsync(_data.Path, command.Split(' '));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(expected, run.Error, StringComparison.Ordinal);
    }
}
