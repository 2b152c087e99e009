using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>A plan that is wrong in one way gets one line with value, limit and remedy, and no bench is put together for it.</summary>
public sealed class BadPlanTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("\"repeats\": 1", "\"repeat\": 1", "- /repeat: The key \"repeat\" is unknown; keys allowed here are format, name, drive, dwellMicroseconds, averaging, settle, repeats, secondSource, adaptive, connection. Did you mean \"repeats\"?")]
    [InlineData("\"stopVolts\": 24", "\"stopVolts\": \"NaN\"", "- /drive/stopVolts: stopVolts is the text \"NaN\"; a number of V from -60 to 60 is needed. Write a plain number without quotation marks.")]
    [InlineData("\"startVolts\": -14", "\"startVolts\": 25", "- /drive/stopVolts: stopVolts 24 V is not above startVolts 25 V; startVolts is the lowest and stopVolts the highest drive, whatever the direction. Exchange them, and use direction \"down\" to go downwards.")]
    [InlineData("\"points\": 191", "\"points\": 0", "- /drive/points: points is 0; 2 to 20000 points is allowed. The nearest allowed value is 2.")]
    [InlineData("\"points\": 191", "\"points\": 1000000", "- /drive/points: points is 1000000; 2 to 20000 points is allowed. The nearest allowed value is 20000.")]
    [InlineData("\"plateRailVolts\": 28", "\"plateRailVolts\": 250", "- /connection/plateRailVolts: plateRailVolts is 250 V; 0.1 to 60 V is allowed. The nearest allowed value is 60.")]
    public async Task One_line_names_value_limit_and_remedy(string good, string bad, string expected)
    {
        var plan = PlanDocument.Write(PlanExamples.FarPositivePentode.Plan);
        Assert.Contains(good, plan, StringComparison.Ordinal);

        var run = await SweepAsync(plan.Replace(good, bad, StringComparison.Ordinal));

        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Equal($"sweeprig: {expected}", Assert.Single(run.ErrorLines));
        Assert.Empty(Directory.GetFileSystemEntries(_data.Path));
    }

    [Fact]
    public async Task NaN_as_a_number_is_named_with_its_place()
    {
        var run = await SweepAsync("{\n  \"format\": NaN\n}");
        Assert.Equal(2, run.ExitCode);
        Assert.Equal(
            "sweeprig: -: The document is not valid JSON at line 2, column 13; JSON as in RFC 8259 is needed: no comments, no trailing commas, no NaN. Correct the text at this place.",
            Assert.Single(run.ErrorLines));
    }

    [Fact]
    public async Task A_directory_is_no_plan()
    {
        var run = await CliRun.OfAsync(_data.Path, ["sweep", _data.Path, "--tube", "SKUA-014", "--type", "6AU6"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"{_data.Path}: The plan cannot be read; it is a directory. Give a plan file", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    private Task<CliRun> SweepAsync(string plan) => CliRun.OfAsync(_data.Path, ["sweep", "-", "--tube", "SKUA-014", "--type", "6AU6"], plan);
}
