using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

/// <summary>What a runner makes of interlocks that do what they must never do.</summary>
public sealed class BrokenInvariantTests
{
    [Fact]
    public async Task Interlocks_that_let_a_sweep_go_on_without_its_permit_are_overruled()
    {
        var told = new List<string>();
        await using var bench = new TestBench(
            o => o with { OnInvariantBroken = (name, said) => told.Add($"{name}: {said}") },
            (state, happened, now) => happened is InterlockEvent.PermitEnded ? new(state with { Permit = null }, []) : InterlockMachine.Next(state, happened, now));
        bench.Runner.Start();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(10), "fold-back of SKUA-014", default)).Refusals);
        var header = await bench.StartAndHoldAsync(Samples.FarPositive);
        await bench.Runner.EndPermitAsync(default);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        var trip = Assert.Single(bench.Recording.Trips);
        Assert.Equal(TripCause.HostOrder, trip.Cause);
        Assert.Contains("armed-within-the-ceiling", trip.Measured, StringComparison.Ordinal);
        Assert.Contains(bench.Log.Lines, l => l.StartsWith("Critical", StringComparison.Ordinal) && l.Contains("armed-within-the-ceiling", StringComparison.Ordinal));
        Assert.StartsWith("armed-within-the-ceiling: ", Assert.Single(told), StringComparison.Ordinal);
        Assert.Null(bench.Rig.Program);
        Assert.False(bench.Rig.Supplies.PlateRail);
        var journal = bench.Journal.ToList();
        Assert.True(journal.IndexOf("rig safe") >= 0 && journal.IndexOf("rig safe") < journal.IndexOf("record trip"));
    }

    [Fact]
    public async Task A_trip_that_heals_by_itself_comes_back_and_its_release_is_not_sent()
    {
        await using var bench = new TestBench(
            machine: (state, happened, now) => happened is InterlockEvent.Tick && state.IsTripped
                ? new(state with { Trip = null, Releasing = true }, [new InterlockOrder.Release()])
                : InterlockMachine.Next(state, happened, now));
        bench.Runner.Start();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        await bench.Runner.MakeSafeAsync("operator", default);
        await bench.UntilAsync(s => s.Trip is { } trip && trip.Measured.Contains("release-is-answered", StringComparison.Ordinal));
        Assert.DoesNotContain("rig release", bench.Journal);
    }
}
