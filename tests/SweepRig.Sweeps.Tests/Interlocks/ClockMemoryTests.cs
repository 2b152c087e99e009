using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>What is remembered of the clocks, step by step; seconds of the host.</summary>
public sealed class ClockMemoryTests
{
    private static readonly ClockMemory Full = new(SilentSince: 1, RigLast: 2, RigFrom: 3, HostFrom: 4, WallAhead: 5) { Told = 6, StatusAt = 7, Heard = true };

    [Fact]
    public void Told_for_the_first_time_everything_begins()
    {
        var begun = ClockMemory.None.At(100, passRuns: true);
        Assert.Equal(ClockMemory.None with { Told = 100, StatusAt = 100, SilentSince = 100 }, begun);
    }

    [Fact]
    public void While_a_pass_runs_silence_goes_on_and_the_last_status_stays()
    {
        var before = new ClockMemory(100, double.NaN, double.NaN, double.NaN, double.NaN) { Told = 101, StatusAt = 99 };
        Assert.Equal(before with { Told = 103 }, before.At(103, passRuns: true));
    }

    [Fact]
    public void While_none_runs_it_stands_still()
    {
        var before = new ClockMemory(100, double.NaN, double.NaN, double.NaN, double.NaN) { Told = 101, StatusAt = 99 };
        Assert.Equal(102, before.At(103, passRuns: false).SilentSince);
    }

    [Fact]
    public void While_none_runs_after_a_block_there_is_none() =>
        Assert.Equal(103, new ClockMemory(100, double.NaN, double.NaN, double.NaN, double.NaN) { Told = 101, Heard = true }.At(103, passRuns: false).SilentSince);

    /// <summary>How far the computer's clocks are apart has to do with the permit alone.</summary>
    [Fact]
    public void The_next_run_knows_the_last_status_and_another_link_nothing_of_the_rig()
    {
        Assert.Equal(ClockMemory.None with { WallAhead = 5, StatusAt = 7 }, Full.ForNextRun());
        Assert.Equal(ClockMemory.None with { WallAhead = 5 }, Full.WithoutRig());
    }
}
