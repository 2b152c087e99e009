using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>The rig on its own clock, over the in-process port.</summary>
public class SimulatedRigTests
{
    [Fact]
    public async Task The_lease_ends_by_the_rigs_own_clock_when_the_stream_is_gone()
    {
        var time = new FakeTimeProvider();
        await using var rig = new SimulatedRig(new() { LongestCatchUp = TimeSpan.FromMinutes(1) }, time);
        await using (var wire = new Wire(await new SimulatedRigPort(rig).OpenAsync(TestContext.Current.CancellationToken)))
        {
            await StartAsync(wire);
            time.Advance(TimeSpan.FromMilliseconds(50));
            await UntilAsync(rig, e => e.Kind == JournalKind.DriveWritten && e.Code > 171);
            Assert.False(rig.Journal.IsSafe);
        }
        for (var i = 0; i < 10; i++)
        {
            time.Advance(TimeSpan.FromMilliseconds(50));
        }
        var trip = await UntilAsync(rig, e => e.Kind == JournalKind.Tripped);
        Assert.Equal(TripCause.LeaseExpired, trip.Cause);
        // The renewal came at 0, before the host's clock was moved.
        Assert.Equal(300_000, trip.AtMicroseconds);
        Assert.True(rig.Journal.IsSafe);
    }

    [Fact]
    public async Task A_machine_too_busy_to_run_the_simulator_does_not_cost_the_host_its_lease()
    {
        var time = new FakeTimeProvider();
        await using var rig = new SimulatedRig(new(), time);
        await using var wire = new Wire(await new SimulatedRigPort(rig).OpenAsync(TestContext.Current.CancellationToken));
        await StartAsync(wire);
        // Half a minute goes by at once, for the host as for the rig; 200 ms of it are made up for.
        time.Advance(TimeSpan.FromSeconds(30));
        await UntilAsync(rig, e => e.Kind == JournalKind.DriveWritten && e.AtMicroseconds > 190_000);
        await wire.SendAsync(new Renew(7));
        await wire.SendAsync(new AskStatus());
        var status = await wire.NextAsync<Ack>();
        Assert.Equal(LinkMessages.AskStatus.Number, status.RequestType);
        Assert.DoesNotContain(rig.Journal.Snapshot(), e => e.Kind == JournalKind.Tripped);
        Assert.InRange(rig.Journal.Snapshot()[^1].AtMicroseconds, 190_000, 200_000);
    }

    [Fact]
    public async Task A_second_host_ends_the_first_and_finds_the_rig_as_it_was()
    {
        var time = new FakeTimeProvider();
        await using var rig = new SimulatedRig(new(), time);
        var port = new SimulatedRigPort(rig);
        await using var first = new Wire(await port.OpenAsync(TestContext.Current.CancellationToken));
        await first.SendAsync(new Hello(1));
        await first.NextAsync<Ack>();
        await first.SendAsync(new SweepRig.Rigs.Link.Messages.Supplies(SupplySwitches.Heater, 2, 6_300_000, 0));
        await first.NextAsync<Ack>();

        await using var second = new Wire(await port.OpenAsync(TestContext.Current.CancellationToken));
        await first.Ended;
        await second.SendAsync(new Hello(2));
        Assert.Equal(2, (await second.NextAsync<Identity>()).Session);
        await second.SendAsync(new AskStatus());
        var status = await second.NextAsync<Status>();
        Assert.Equal((2, StatusFlags.HeaterOn | StatusFlags.Latched), ((int)status.Socket, status.Flags));
        Assert.Single(rig.Journal.Snapshot(), e => e.Kind == JournalKind.Restarted);
    }

    [Fact]
    public async Task A_rig_that_is_shut_down_refuses_to_be_opened()
    {
        var rig = new SimulatedRig(new(), TimeProvider.System);
        var port = new SimulatedRigPort(rig);
        await using var wire = new Wire(await port.OpenAsync(TestContext.Current.CancellationToken));
        await rig.DisposeAsync();
        await wire.Ended;
        await Assert.ThrowsAsync<RigPortException>(async () => await port.OpenAsync(TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task An_unpaced_rig_runs_a_long_pass_without_losing_its_lease_or_a_frame()
    {
        // The host's clock stands still: only the rig's own can have run the 41 s of the pass.
        var time = new FakeTimeProvider();
        await using var rig = new SimulatedRig(new() { Unpaced = true }, time);
        await using var wire = new Wire(await new SimulatedRigPort(rig).OpenAsync(TestContext.Current.CancellationToken));
        await StartAsync(wire, dwell: 20_000, points: 2_000);
        var end = await wire.NextAsync<ProgramEnd>();
        Assert.True(end.Completed);
        Assert.InRange(rig.Journal.Snapshot().Last(e => e.Kind == JournalKind.ProgramEnded).AtMicroseconds, 40_000_000, 45_000_000);
        Assert.DoesNotContain(rig.Journal.Snapshot(), e => e.Kind == JournalKind.Tripped);
    }

    internal static async Task StartAsync(Wire wire, uint dwell = 2_000, ushort points = 500)
    {
        await wire.SendAsync(new Hello(7));
        await wire.NextAsync<Ack>();
        await wire.SendAsync(new Release(1));
        await wire.NextAsync<Ack>();
        await wire.SendAsync(new ProgramBegin(1, 1, points, 31, 1000, dwell, 4, 0, 0, 0, 0, 0, 10_000, 100, 4_700));
        await wire.NextAsync<Ack>();
        await wire.SendAsync(new ProgramSegment(1, 0, 200, 900, points, 0));
        await wire.NextAsync<Ack>();
        await wire.SendAsync(new Renew(7));
        await wire.SendAsync(new ProgramStart(1));
        await wire.NextAsync<Ack>();
    }

    /// <summary>Waits for an entry of the journal, which another thread writes.</summary>
    internal static async Task<JournalEntry> UntilAsync(SimulatedRig rig, Func<JournalEntry, bool> wanted)
    {
        using var deadline = new CancellationTokenSource(TimeSpan.FromSeconds(20));
        JournalEntry? found = null;
        try
        {
            await rig.Journal.UntilAsync(
                entries =>
                {
                    foreach (var entry in entries)
                        if (wanted(entry)) found = entry;
                    return found is not null;
                },
                deadline.Token);
        }
        catch (OperationCanceledException)
        {
            Assert.Fail("Not in the journal: " + string.Join(Environment.NewLine, rig.Journal.Snapshot().TakeLast(10)));
        }
        return found!.Value;
    }
}
