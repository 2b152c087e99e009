namespace SweepRig.Nights;

public sealed class SimulatedNightTests
{
    [Fact]
    public async Task A_night_of_eight_rigs_loses_nothing_and_is_never_unsafe_whatever_befalls_it()
    {
        using var directory = new TrialDirectory();
        using var night = new SimulatedNight(TrialPlan.Short, directory.Path, TestContext.Current.TestOutputHelper!.WriteLine);
        var verdict = await night.RunAsync();
        Assert.Empty(verdict.UnsafeStates);
        Assert.Empty(verdict.Violations);
        Assert.Equal(0, verdict.SamplesLost);
        Assert.Equal(0, verdict.Unaccounted);
        Assert.Equal(TrialPlan.Short.Jobs, verdict.Passed + verdict.Reported);
        Assert.True(verdict.Passed > TrialPlan.Short.Jobs / 2, $"only {verdict.Passed} steps passed");
        Assert.True(verdict.Faults.Count > 10);
    }
}
