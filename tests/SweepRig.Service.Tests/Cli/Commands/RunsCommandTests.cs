using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class RunsCommandTests : IDisposable
{
    private const string First = "019d2f3a5b6c7d8e8f90a1b2c3d4e5f6";
    private const string Second = "019d2f3a7777708e8f90a1b2c3d4e5f6";

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData(0, "list")]
    [InlineData(2, "show", "latest")]
    [InlineData(2, "export", "latest")]
    public async Task An_empty_store_teaches_the_first_step(int exit, params string[] command)
    {
        var run = await CliRun.OfAsync(_data.Path, ["runs", .. command]);
        Assert.Equal(exit, run.ExitCode);
        Assert.Contains($"No runs in {_data.Path} yet. Record one: sweeprig demo, or sweeprig sweep.", run.Output + run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(_data.File(RunStore.FileName)), "Reading must not make a store.");
    }

    [Fact]
    public async Task The_list_is_a_table_newest_first()
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "list"]);

        Assert.Equal(0, run.ExitCode);
        Assert.Equal("""
            run        started (UTC)        tube      type  connection  drive       samples  state
            019d2f3a7  2026-03-14 09:27:53  SKUA-014  6AU6  pentode     -14 to 0 V       14  tripped, with gaps
            019d2f3a5  2026-03-14 09:26:53  SKUA-014  6AU6  pentode     -14 to 0 V       14  complete
            """.ReplaceLineEndings("\n"), run.Output.TrimEnd());
    }

    [Fact]
    public async Task Steps_of_a_screening_are_marked_in_the_list_and_can_be_left_out()
    {
        await RecordBothAsync();
        await using (var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, TestContext.Current.CancellationToken))
        {
            var step = Examples.Header(started: Examples.Started.AddMinutes(2)) with { Screening = new("7".PadLeft(32, '0'), ScreeningStepKind.Transfer) };
            await using var recording = await store.BeginAsync(step, TestContext.Current.CancellationToken);
            await recording.EndAsync(RunState.Complete, Examples.Started.AddMinutes(3), TestContext.Current.CancellationToken);
        }

        var all = (await CliRun.OfAsync(_data.Path, ["runs", "list"])).Output.TrimEnd().Split('\n');
        Assert.EndsWith("  for", all[0], StringComparison.Ordinal);
        Assert.Single(all, line => line.EndsWith("complete            screening", StringComparison.Ordinal));
        Assert.Single(all, line => line.EndsWith("  complete", StringComparison.Ordinal));
        Assert.DoesNotContain("screening", (await CliRun.OfAsync(_data.Path, ["runs", "list", "--only", "sweeps"])).Output, StringComparison.Ordinal);
        Assert.Equal(2, (await CliRun.OfAsync(_data.Path, ["runs", "list", "--only", "screenings"])).Output.TrimEnd().Split('\n').Length);
        var wrong = await CliRun.OfAsync(_data.Path, ["runs", "list", "--only", "curves"]);
        Assert.Equal((2, "sweeprig: --only curves: allowed is sweeps or screenings. Leave it out for both."), (wrong.ExitCode, wrong.Error.TrimEnd()));
    }

    [Fact]
    public async Task The_list_pages_on()
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "list", "--limit", "1", "--json"]);
        var list = JsonNode.Parse(run.Output)!;
        Assert.Equal(Second, (string?)list["runs"]![0]!["id"]);
        Assert.Equal(Second, (string?)list["olderThan"]);

        var older = await CliRun.OfAsync(_data.Path, ["runs", "list", "--older-than", Second, "--json"]);
        Assert.Equal(First, (string?)JsonNode.Parse(older.Output)!["runs"]!.AsArray().Single()!["id"]);
    }

    [Theory]
    [InlineData("019d2f3a5", First)]
    [InlineData("019D2F3A7", Second)]
    [InlineData(First, First)]
    [InlineData("latest", Second)]
    public async Task A_run_is_found_by_its_first_digits(string asked, string expected)
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "show", asked, "--json"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Equal(expected, (string?)JsonNode.Parse(run.Output)!["run"]!["id"]);
    }

    [Theory]
    [InlineData("019d2f3a", $"more than one run begins so: {Second}, {First}. Give more digits.")]
    [InlineData("019e", "there is none of that id here. See sweeprig runs list.")]
    [InlineData("SKUA-014", "a run id is made of the digits 0 to 9 and a to f")]
    public async Task A_run_that_is_not_to_be_found_is_bad_input(string asked, string expected)
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "show", asked]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"Run {asked}; {expected}", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Showing_a_run_tells_provenance_trip_gap_and_plot()
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "show", Second]);

        Assert.Equal(0, run.ExitCode);
        Assert.Empty(run.Error);
        foreach (var expected in new[]
        {
            $"run          {Second}",
            "tube         SKUA-014, 6AU6, lot Skua, socket 0",
            "state        tripped, 14 samples, 141 points planned, 127 missing",
            "connection   pentode, rail 28 V, bias -14 V, heater 6.3 V",
            "resistors    plate 10 kΩ, screen 100 Ω, grid stopper 4.7 kΩ",
            "each point   2 ms dwell, 16 conversions averaged",
            "permit       none",
            "calibration  nominal values, this rig was not calibrated",
            "Trip: Too much grid current (grid current 9.1 mA, limit 8 mA).",
            "Gap: pass 0, 127 points from point 14 on are missing: the run tripped",
            "output / V over drive / V",
            "highest output",
        })
            Assert.Contains(expected, run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', run.Output);
        Assert.All(run.Output.Split('\n'), line => Assert.Equal(line.TrimEnd(), line));
    }

    [Fact]
    public async Task The_levels_in_json_have_the_names_of_the_rest()
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "show", First, "--json"]);
        var curve = JsonNode.Parse(run.Output)!["levels"]!["curves"]![0]!;
        foreach (var level in new[] { "highestOutput", "lowestOutput", "switchingDrive", "switchingOutput", "switchingGain", "unityGainLow", "unityGainHigh", "cutOffDrive", "gridCurrentOnset", "foldBackDepth", "driveAtMinimum" })
            foreach (var part in new[] { "value", "unit", "uncertainty", "mark", "absentBecause" })
                Assert.True(curve[level]!.AsObject().ContainsKey(part), $"{level}.{part}");
    }

    [Fact]
    public async Task An_export_is_the_same_in_a_pipe_and_in_a_file()
    {
        await RecordBothAsync();
        var piped = await CliRun.OfAsync(_data.Path, ["runs", "export", First]);
        var file = _data.File("curve.csv");
        var filed = await CliRun.OfAsync(_data.Path, ["runs", "export", First, "--output", file]);

        Assert.Equal(0, piped.ExitCode);
        Assert.StartsWith("run,started (UTC),tube,type,lot,connection", piped.Output, StringComparison.Ordinal);
        Assert.Equal(141 + 1, piped.Output.Split("\r\n", StringSplitOptions.RemoveEmptyEntries).Length);
        Assert.Equal((0, "", ""), (filed.ExitCode, filed.Output, filed.Error));
        Assert.Equal(piped.Output, await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken));
        Assert.Equal([file], Directory.GetFiles(_data.Path, "curve*"));
    }

    [Fact]
    public async Task An_export_into_a_directory_that_is_not_there_leaves_nothing_behind()
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "export", First, "--output", _data.File("none/curve.csv")]);
        Assert.Equal(1, run.ExitCode);
        Assert.Equal($"sweeprig: {_data.File("none/curve.csv")} cannot be written: its directory does not exist. Give another file, or make room or the directory.", Assert.Single(run.ErrorLines));
    }

    [Fact]
    public async Task A_report_is_written_whole_as_page_and_as_pdf()
    {
        await RecordBothAsync();
        var (html, pdf) = (_data.File("sheet.html"), _data.File("sheet.pdf"));
        var run = await CliRun.OfAsync(_data.Path, ["runs", "report", Second, "--to", html, "--to", pdf, "--paper", "letter"]);
        Assert.Equal((0, "", ""), (run.ExitCode, run.Output, run.Error));
        Assert.Contains("Too much grid current", await File.ReadAllTextAsync(html, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.StartsWith("%PDF-", await File.ReadAllTextAsync(pdf, TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Nothing to write was named. Give --to FILE.pdf, --to FILE.html or both.")]
    [InlineData("--paper a5: allowed are a4 and letter. Give one of these.", "--to", "x.pdf", "--paper", "a5")]
    public async Task A_report_that_cannot_be_made_is_bad_input(string expected, params string[] options)
    {
        await RecordBothAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", "report", First, .. options]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(expected, Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    private async Task RecordBothAsync()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        await using (var first = await store.BeginAsync(Examples.Header(First), cancellation))
        {
            await first.AppendAsync([Examples.Block(0), Examples.Block(7, frame: 1)], cancellation);
            await first.EndAsync(RunState.Complete, Examples.Started.AddSeconds(4), cancellation);
        }
        await using var second = await store.BeginAsync(Examples.Header(Second, started: Examples.Started.AddMinutes(1)), cancellation);
        await second.AppendAsync([Examples.Block(0), Examples.Block(7, frame: 1)], cancellation);
        await second.TripAsync(new Trip(TripCause.GridCurrent, true, "grid current 9.1 mA", "8 mA", Examples.Started.AddMinutes(1), null), cancellation);
        await second.GapsAsync([new Gap(0, 14, 127, "the run tripped")], cancellation);
        await second.EndAsync(RunState.Tripped, Examples.Started.AddMinutes(1).AddSeconds(1), cancellation);
    }
}
