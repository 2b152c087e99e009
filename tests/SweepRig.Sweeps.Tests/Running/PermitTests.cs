using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class PermitTests
{
    [Fact]
    public async Task Without_a_permit_no_positive_code_is_ever_sent()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var refused = await bench.Runner.StartAsync(Samples.Request(Samples.FarPositive), default);
        Assert.Equal("positive-drive-without-permit", Assert.Single(refused.Refusals).Code);
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        Assert.True(Samples.Rig.Drive.ToVolts(bench.Rig.HighestCode) <= 0);
    }

    [Fact]
    public async Task A_permit_is_logged_when_granted_and_when_it_ends_by_itself()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var permit = (await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromSeconds(30), "fold-back of SKUA-014", default)).Value!;
        Assert.Equal(permit, bench.Runner.State.Permit);
        // Ceiling, duration and reason, as one line of the log.
        Assert.Equal((24.0, TimeSpan.FromSeconds(30), "fold-back of SKUA-014"), (permit.Ceiling.Value, permit.Duration, permit.Reason));
        var granted = Assert.Single(bench.Log.Lines, l => l.StartsWith("Warning", StringComparison.Ordinal) && l.Contains("granted", StringComparison.Ordinal));
        Assert.All([permit.Id.ToString(), "24 V", $"until {permit.EndsUtc:yyyy-MM-dd HH:mm:ss}Z", "fold-back of SKUA-014"], part => Assert.Contains(part, granted, StringComparison.Ordinal));
        bench.Time.Advance(TimeSpan.FromSeconds(29.9));
        await bench.SettleAsync();
        Assert.NotNull(bench.Runner.State.Permit);
        bench.Time.Advance(TimeSpan.FromSeconds(0.1));
        await bench.UntilAsync(s => s.Permit is null, TimeSpan.Zero);
        Assert.Contains(bench.Log.Lines, l => l.StartsWith("Warning", StringComparison.Ordinal) && l.Contains("its time has run out", StringComparison.Ordinal));
        Assert.Null(bench.Runner.State.Trip);
    }

    [Fact]
    public async Task A_permit_that_ends_in_mid_pass_trips()
    {
        await using var bench = await TestBench.PermittedAsync();
        var header = await bench.StartAndHoldAsync(Samples.FarPositive);
        bench.Time.Advance(TimeSpan.FromMinutes(10));
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        Assert.Equal(TripCause.PermitEnded, Assert.Single(bench.Recording.Trips).Cause);
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.Null(bench.Runner.State.Permit);
    }

    [Fact]
    public async Task A_permit_that_ends_leaves_a_negative_sweep_alone()
    {
        await using var bench = await TestBench.PermittedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        Assert.True((await bench.Runner.EndPermitAsync(default)).IsAccepted);
        for (var i = 0; i < FakeRig.Frames(bench.Rig.Program!); i++) bench.Rig.SendFrame(i);
        bench.Rig.EndProgram();
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
    }

    [Theory]
    [InlineData(0, 60, "try", "permit-ceiling")]
    [InlineData(-1, 60, "try", "permit-ceiling")]
    [InlineData(26.5, 60, "try", "permit-ceiling")]
    [InlineData(24, 0, "try", "permit-duration")]
    [InlineData(24, 28_801, "try", "permit-duration")]
    [InlineData(24, 60, "  ", "permit-reason")]
    [InlineData(24, 60, "a\nb", "permit-reason")]
    public async Task A_permit_out_of_bounds_is_refused(double ceiling, double seconds, string reason, string code)
    {
        await using var bench = await TestBench.ConnectedAsync();
        var outcome = await bench.Runner.GrantPermitAsync(new(ceiling), TimeSpan.FromSeconds(seconds), reason, default);
        Assert.Equal(code, Assert.Single(outcome.Refusals).Code);
        Assert.Null(bench.Runner.State.Permit);
    }

    [Fact]
    public async Task All_faults_of_a_permit_come_at_once()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var outcome = await bench.Runner.GrantPermitAsync(new(99), TimeSpan.Zero, "", default);
        Assert.Equal(["permit-ceiling", "permit-duration", "permit-reason"], outcome.Refusals.Select(r => r.Code));
    }

    [Fact]
    public async Task No_permit_is_exchanged_under_a_sweep_that_stands_on_it()
    {
        await using var bench = await TestBench.PermittedAsync();
        await bench.StartAndHoldAsync(Samples.FarPositive);
        Assert.Equal("busy", (await bench.Runner.GrantPermitAsync(new(5), TimeSpan.FromMinutes(1), "less", default)).Refusals[0].Code);
    }
}
