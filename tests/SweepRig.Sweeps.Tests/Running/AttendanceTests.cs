using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

/// <summary>A bench that nobody is at has tighter limits; a run under way gets no looser ones.</summary>
public sealed class AttendanceTests
{
    private static readonly RuleSettings Low = new(new Dictionary<string, RuleSetting> { ["drive-ceiling"] = new(null, 12), ["grid-current"] = new(null, 2) });

    [Fact]
    public async Task Plans_and_permits_are_held_to_the_unattended_limits()
    {
        await using var bench = await TestBench.PermittedAsync(o => o with { Rules = Low });
        Assert.True((await bench.Runner.SetAttendanceAsync(false, default)).Unattended);
        var refused = await bench.Runner.CheckAsync(Samples.Request(Samples.FarPositive), default);
        Assert.Contains(refused.Refusals, r => r.Code == "drive-above-ceiling" && r.Allowed.Contains("12 V", StringComparison.Ordinal));
        var permit = await bench.Runner.GrantPermitAsync(new(13), TimeSpan.FromHours(2), "night", default);
        Assert.Equal(["permit-ceiling", "permit-duration"], permit.Refusals.Select(r => r.Code));
        Assert.Contains("3600 s", permit.Refusals[1].Allowed, StringComparison.Ordinal);

        Assert.False((await bench.Runner.SetAttendanceAsync(true, default)).Unattended);
        Assert.True((await bench.Runner.CheckAsync(Samples.Request(Samples.FarPositive), default)).IsAccepted);
    }

    [Fact]
    public async Task A_long_permit_is_cut_when_the_bench_is_left()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromHours(8), "all day", default);
        var left = await bench.Runner.SetAttendanceAsync(false, default);
        Assert.Equal(TimeSpan.FromHours(1), left.Permit!.EndsUtc - bench.Time.GetUtcNow());
    }

    [Fact]
    public async Task Leaving_the_bench_tightens_the_run_under_way()
    {
        await using var bench = await TestBench.PermittedAsync(o => o with { Rules = Low });
        var header = await bench.StartAndHoldAsync(Samples.FarPositive);
        await bench.Runner.SetAttendanceAsync(false, default);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal(TripCause.HostCeiling, trip.Cause);
        Assert.Contains("12 V while nobody is at the bench", trip.Limit, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Coming_back_loosens_nothing_before_the_run_has_ended()
    {
        await using var bench = await TestBench.ConnectedAsync(o => o with { Rules = Low });
        await bench.Runner.SetAttendanceAsync(false, default);
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        Assert.True((await bench.Runner.SetAttendanceAsync(true, default)).Unattended);
        // 3 mA of grid current: nothing while somebody is there, too much for this run.
        bench.Rig.GridAt = drive => drive > -2 ? -15 : drive;
        bench.Rig.SendFrame(7);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal((TripCause.HostGridCurrent, "2 mA"), (trip.Cause, trip.Limit));
        Assert.False(bench.Runner.State.Unattended);
    }
}
