using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Parsing;

/// <summary>Whatever is wrong with a command line, exit code 2 and lines that name value, limit and remedy.</summary>
public sealed class BadInputTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("serve --heater-speed 5000", "--heater-speed 5000: allowed is 1 to 1000. Leave it out for a rig with real heaters.")]
    [InlineData("serve --heater-speed NaN", "--heater-speed NaN: allowed is 1 to 1000.")]
    [InlineData("serve --heater-speed fast", "--heater-speed fast: allowed is 1 to 1000.")]
    [InlineData("demo --heater-speed 0", "--heater-speed 0: allowed is 1 to 1000.")]
    [InlineData("demo --seed -1", "--seed -1: allowed is a whole number, 0 to 2147483647.")]
    [InlineData("demo --seed 1.5", "--seed 1.5: allowed is a whole number")]
    [InlineData("serve --port ", "--port \"\": allowed are 1 to 4096 printable characters, not blank. Give the path of a serial port, or leave it out for the simulated rig.")]
    [InlineData("serve --bus ", "--bus \"\": allowed are 1 to 4096 printable characters, not blank. Give the path of a configuration")]
    [InlineData("serve --bus bench.json --port /dev/ttyUSB0", "--bus and --port exclude each other: a rig on a direct bus has neither serial port nor simulated heater. Leave one out.")]
    [InlineData("sweep gentle-pentode --tube A --type 6AU6 --bus bench.json --seed 3", "--bus and --seed exclude each other")]
    [InlineData("permit --ceiling NaN --minutes 5 --reason x", "--ceiling NaN: allowed is above 0 and at most 60 V. Ask for the highest drive that the plan needs.")]
    [InlineData("permit --ceiling 24 --minutes NaN --reason x", "--minutes NaN: allowed is above 0 and at most 480 minutes. Ask for as long as the sweep takes.")]
    [InlineData("serve --baud 300", "--baud 300: allowed is a whole number, 9600 to 4000000 baud.")]
    [InlineData("permit --ceiling 24 --minutes -5 --reason x", "--minutes -5: allowed is above 0 and at most 480 minutes.")]
    [InlineData("permit --ceiling 24 --minutes 0 --reason x", "--minutes 0: allowed is above 0 and at most 480 minutes.")]
    [InlineData("permit --ceiling 61 --minutes 5 --reason x", "--ceiling 61: allowed is above 0 and at most 60 V.")]
    [InlineData("permit --ceiling 0 --minutes 5 --reason x", "--ceiling 0: allowed is above 0 and at most 60 V.")]
    [InlineData("permit --ceiling 24 --minutes 5", "--reason missing: a permit needs --ceiling, --minutes and --reason.")]
    [InlineData("permit", "--ceiling, --minutes, --reason missing: a permit needs --ceiling, --minutes and --reason.")]
    [InlineData("permit --end --ceiling 24", "--end stands with --ceiling: a permit is either granted or ended.")]
    [InlineData("sweep plan.json --type 6AU6", "--tube")]
    [InlineData("sweep --tube SKUA-014 --type 6AU6", "PLAN")]
    [InlineData("sweep p.json --tube SKUA-014 --type 6AU6 --socket 8", "--socket 8: allowed is a whole number, 0 to 7.")]
    [InlineData("sweep p.json --tube SKUA-014 --type 6AU6 --permit-ceiling 24", "--permit-minutes, --permit-reason missing: a permit needs --permit-ceiling, --permit-minutes and --permit-reason.")]
    [InlineData("screen --tube SKUA-014", "--type")]
    [InlineData("screen --tube SKUA-014 --type 6AU6 --socket 9", "--socket 9: allowed is a whole number, 0 to 7.")]
    [InlineData("screen --tube SKUA-014 --type 6AU6 --plan nowhere.json", "there is no such file")]
    [InlineData("runs list --store mysql", "--store mysql; allowed is sqlite or postgres. Leave it out for the file in the data directory.")]
    [InlineData("serve --connection bench.txt", "--connection bench.txt; the store is sqlite, a file in the data directory. Add --store postgres, or leave it out.")]
    [InlineData("stock list --store postgres", "--store postgres; nothing says where the database is. Set SWEEPRIG_POSTGRES to something like Host=bench-pc;Database=sweeprig;Username=sweeprig")]
    [InlineData("stock list --store postgres --connection nowhere.txt", "--connection nowhere.txt; there is no such file.")]
    [InlineData("simulate", "--pty")]
    [InlineData("simulate --pty /tmp/x --tube 12AX9", "--tube 12AX9: allowed is one of")]
    [InlineData("simulate --pty /tmp/x --defect rust", "--defect rust: allowed is one of open-heater, short-g1-k,")]
    [InlineData("serve --lot-tube 3", "--lot-tube without --lot-seed: a number means nothing without a lot. Name the lot with --lot-seed N.")]
    [InlineData("serve --lot-seed 3 --lot-tube 61", "--lot-tube 61: allowed is a whole number, 1 to 60. Count from 1.")]
    [InlineData("serve --port /dev/ttyUSB0 --defect gas", "--port and --defect exclude each other: the rig on a port has a tube of its own.")]
    [InlineData("serve --bus bench.json --lot-seed 3", "--bus and --lot-seed exclude each other")]
    [InlineData("runs list --limit 0", "--limit 0: allowed is a whole number, 1 to 500 runs. Page on with --older-than.")]
    [InlineData("runs show", "ID")]
    [InlineData("demmo", "sweeprig has no command demmo. Did you mean demo? See sweeprig --help.")]
    [InlineData("runs lst", "sweeprig runs has no command lst. Did you mean list? See sweeprig runs --help.")]
    [InlineData("serve --prot /dev/ttyUSB0", "sweeprig serve has no option --prot. Did you mean --port? See sweeprig serve --help.")]
    [InlineData("safe now", "sweeprig safe has no argument now. See sweeprig safe --help.")]
    public async Task One_line_says_what_is_wrong(string commandLine, string expected)
    {
        var run = await CliRun.OfAsync(_data.Path, commandLine.Split(' '));

        Assert.Equal(2, run.ExitCode);
        Assert.Empty(run.Output);
        Assert.Contains(run.ErrorLines, line => line.StartsWith("sweeprig: ", StringComparison.Ordinal) && line.Contains(expected, StringComparison.Ordinal));
    }

    [Fact]
    public async Task All_faults_are_told_at_once()
    {
        var run = await CliRun.OfAsync(_data.Path, ["permit", "--ceiling", "99", "--minutes", "0", "--reason", " "]);

        Assert.Equal(2, run.ExitCode);
        Assert.Equal(3, run.ErrorLines.Length);
        Assert.Contains("--reason \" \": allowed are 1 to 200 printable characters", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_misspelt_option_and_its_value_are_one_fault_each()
    {
        var run = await CliRun.OfAsync(_data.Path, ["runs", "list", "--limt", "5"]);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("Did you mean --limit?", run.ErrorLines[0], StringComparison.Ordinal);
    }
}
