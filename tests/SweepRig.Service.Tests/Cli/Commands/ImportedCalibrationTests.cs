using SweepRig.Domain.Rigs.Documents;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Runs come from rigs alone; calibrations are what is imported, and NaN in one would spoil every figure without a trace.</summary>
public sealed class ImportedCalibrationTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("NaN", "is not valid JSON at line", "no NaN. Correct the text at this place.")]
    [InlineData("\"NaN\"", "is the text \"NaN\"", "Write a plain number without quotation marks.")]
    [InlineData("null", "a number", "")]
    [InlineData("1e999", "", "")]
    public async Task A_calibration_with_no_number_in_it_is_refused_with_its_place(string value, string says, string remedy)
    {
        await using var bench = await TestBench.StartAsync();
        var text = CalibrationDocument.Write(Examples.Calibration("cal-1", Examples.Rig.SerialNumber, 1.01));
        var spoilt = System.Text.RegularExpressions.Regex.Replace(text, "(\"slope\": )[^,\n]*", "$1" + value);
        Assert.NotEqual(text, spoilt);
        var file = _data.File("rig.json");
        await File.WriteAllTextAsync(file, spoilt, TestContext.Current.CancellationToken);

        var run = await CliRun.OfAsync(_data.Path, ["calibrate", "import", file, "--url", bench.Url.ToString()]);

        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.All(run.ErrorLines, l => Assert.StartsWith($"sweeprig: {file}", l, StringComparison.Ordinal));
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
    }
}
