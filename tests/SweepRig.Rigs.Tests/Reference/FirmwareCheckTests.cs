using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace SweepRig.Rigs.Tests.Reference;

/// <summary>The reference firmware builds for both boards without a warning, keeps to its size, and passes its own tests.</summary>
public partial class FirmwareCheckTests
{
    private static readonly TimeSpan Deadline = TimeSpan.FromMinutes(5);

    /// <summary>Fewer checks than this would mean that whole files of tests have been left out.</summary>
    private const int FewestChecks = 400_000;

    [Fact]
    public async Task Make_check_passes()
    {
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(Deadline);
        using var make = Process.Start(new ProcessStartInfo("make", ["--directory", ReferenceFirmware.Directory, "check"])
        {
            RedirectStandardOutput = true, RedirectStandardError = true,
        })!;
        var errors = make.StandardError.ReadToEndAsync(deadline.Token);
        var output = await make.StandardOutput.ReadToEndAsync(deadline.Token);
        await make.WaitForExitAsync(deadline.Token);
        var told = output + await errors;

        Assert.True(make.ExitCode == 0, told);
        var summary = Summary().Match(output);
        Assert.True(summary.Success && int.Parse(summary.Groups[1].Value, CultureInfo.InvariantCulture) >= FewestChecks, told);
        Assert.Matches(Size(), output);
    }

    [GeneratedRegex(@"^reference firmware: (\d+) checks passed, 0 failed$", RegexOptions.Multiline)]
    private static partial Regex Summary();

    [GeneratedRegex(@"^atmega328p: \d+ of \d+ bytes of flash, \d+ of \d+ bytes of static RAM$", RegexOptions.Multiline)]
    private static partial Regex Size();
}
