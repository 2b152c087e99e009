using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Harness.Kills;

namespace SweepRig.EndToEnd.Tests.Survival;

/// <summary>A short form of the figure kill-recovery.</summary>
public sealed class KillRecoveryTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-kills-").FullName;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_service_that_is_killed_at_any_moment_loses_nothing_that_it_had_acknowledged(bool ofNight)
    {
        var report = await new KillCampaign(Repository.Executable, _directory, seed: 20, ofNight).RunAsync(8);
        Assert.Empty(report.Faults);
        // It was at work, and not only starting.
        Assert.True(report.Runs >= 1, report.ToString());
        Assert.All(report.Answers.Skip(1).Concat(report.TakenUp.Select(t => t.After)), r => Assert.True(r < TimeSpan.FromSeconds(20), $"{r}"));
    }
}
