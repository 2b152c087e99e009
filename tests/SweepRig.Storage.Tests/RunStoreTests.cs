using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Headers;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class RunStoreTests(PostgresServer? server) : StoreTests(server)
{
    private readonly FakeTimeProvider _clock = new(Examples.Started.AddMinutes(1));

    private Task<RunStore> OpenAsync() => OpenAsync(clock: _clock);

    [Fact]
    public async Task A_run_comes_back_as_it_was_recorded()
    {
        var header = Examples.Header(permit: Examples.Permit);
        var trip = new Trip(TripCause.GridCurrent, true, "grid current 8.2 mA", "8 mA", Examples.Started.AddSeconds(3), new RigTime(3_000_000));
        var orderedByHost = new Trip(TripCause.HostOrder, false, "", "", Examples.Started.AddSeconds(4), null);
        var gap = new Gap(0, 17, 3, "lost on the link and not measured again");
        await using (var store = await OpenAsync())
        {
            await using var recording = await store.BeginAsync(header, Cancel);
            Assert.Equal(0, await recording.AppendAsync([Examples.Block(0), Examples.Block(1)], Cancel));
            Assert.Equal(2, await recording.AppendAsync([Examples.Block(2, samples: 3)], Cancel));
            Assert.Equal(3, await recording.AppendAsync([], Cancel));
            await recording.TripAsync(trip, Cancel);
            await recording.TripAsync(orderedByHost, Cancel);
            await recording.GapsAsync([gap], Cancel);
            await recording.EndAsync(RunState.Tripped, Examples.Started.AddSeconds(5), Cancel);
        }

        await using var later = await OpenAsync();
        var run = await later.FindAsync(header.Id, Cancel);
        Assert.NotNull(run);
        Examples.AssertSame(header, run.Header);
        Assert.Equal(RunState.Tripped, run.State);
        Assert.Equal(Examples.Started.AddSeconds(5), run.EndedUtc);
        Assert.Equal(17, run.Samples);
        Assert.Equal([trip, orderedByHost], run.Trips);
        Assert.Equal([gap], run.Gaps);
        var blocks = await later.ReadBlocksAsync(header.Id, 0, Cancel).ToListAsync(Cancel);
        Assert.Equal([0L, 1L, 2L], blocks.Select(b => b.Sequence));
        Examples.AssertSame(Examples.Block(1), blocks[1].Block);
        Examples.AssertSame(Examples.Block(2, samples: 3), blocks[2].Block);
    }

    public static TheoryData<SweepPlan> Plans { get; } =
    [
        Examples.Plan,
        Examples.Plan with { Averaging = new Averaging.MainsPeriods(2, 60), Settle = null, Direction = SweepDirection.Up },
        Examples.Plan with { SecondSource = new SecondSource(SteppedSource.Heater, new Volts(5.7), new Volts(6.3), 4), Repeats = 12 },
        Examples.Plan with { Points = 100, Direction = SweepDirection.Up, SecondSource = null, Repeats = 1, Adaptive = new(new Volts(1e-3), 24, 4) },
    ];

    [Theory]
    [MemberData(nameof(Plans))]
    public async Task Every_shape_of_plan_comes_back(SweepPlan plan)
    {
        await using var store = await OpenAsync();
        var header = Examples.Header(plan: plan);
        await using var recording = await store.BeginAsync(header, Cancel);
        var run = await store.FindAsync(header.Id, Cancel);
        Assert.Equal(plan, run?.Header.Plan);
        Assert.Equal(RunState.Running, run?.State);
    }

    [Theory]
    [MemberData(nameof(Plans))]
    public void The_plan_column_is_a_plan_document(SweepPlan plan) =>
        Assert.Equal(plan, PlanDocument.Parse(HeaderJson.WritePlan(plan)).Value);

    [Fact]
    public async Task An_adaptive_sweep_has_the_passes_that_it_needed()
    {
        await using var store = await OpenAsync();
        var plan = Examples.Plan with { Points = 40, Direction = SweepDirection.Up, SecondSource = null, Repeats = 1, Adaptive = new(new Volts(1e-3), 24, 4) };
        var passes = plan.Adaptive.Passes(plan.Points).Select((points, i) => new PassHeader(i, PassDirection.Up, points, 0, null)).ToArray();
        await using var recording = await store.BeginAsync(Examples.Header(plan: plan) with { Passes = passes }, Cancel);
        await recording.AppendAsync([Examples.Block(0, samples: 24), Examples.Block(1, samples: 4) with { Pass = 1 }], Cancel);
        Assert.Equal(5, (await store.FindAsync(recording.RunId, Cancel))!.Header.Passes.Count);
        await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(9), Cancel);
        Assert.Equal(passes[..2], (await store.FindAsync(recording.RunId, Cancel))!.Header.Passes);
    }

    [Fact]
    public async Task Blocks_are_read_from_any_sequence_number_and_across_pages()
    {
        await using var store = await OpenAsync();
        await using var recording = await store.BeginAsync(Examples.Header(), Cancel);
        for (var i = 0; i < 13; i++)
            await recording.AppendAsync([.. Enumerable.Range(100 * i, 100).Select(n => Examples.Block(n, samples: 1))], Cancel);
        var all = await store.ReadBlocksAsync(recording.RunId, 0, Cancel).ToListAsync(Cancel);
        Assert.Equal(Enumerable.Range(0, 1300).Select(n => (long)n), all.Select(b => b.Sequence));
        var tail = await store.ReadBlocksAsync(recording.RunId, 1290, Cancel).ToListAsync(Cancel);
        Assert.Equal(10, tail.Count);
        Examples.AssertSame(Examples.Block(1290, samples: 1), tail[0].Block);
        Assert.Empty(await store.ReadBlocksAsync(recording.RunId, 1300, Cancel).ToListAsync(Cancel));
        Assert.Empty(await store.ReadBlocksAsync("no such run", 0, Cancel).ToListAsync(Cancel));
    }

    [Fact]
    public async Task Runs_are_listed_newest_first_in_pages()
    {
        await using var store = await OpenAsync();
        var ids = Enumerable.Range(0, 5).Select(i => Guid.CreateVersion7(Examples.Started.AddSeconds(i)).ToString("N")).ToArray();
        foreach (var id in ids)
        {
            await using var recording = await store.BeginAsync(Examples.Header(id), Cancel);
            await recording.EndAsync(RunState.Complete, Examples.Started.AddMinutes(1), Cancel);
        }
        var newest = await store.ListAsync(2, null, Cancel);
        Assert.Equal([ids[4], ids[3]], newest.Select(r => r.Header.Id));
        var older = await store.ListAsync(10, newest[^1].Header.Id, Cancel);
        Assert.Equal([ids[2], ids[1], ids[0]], older.Select(r => r.Header.Id));
        Assert.Null(await store.FindAsync("no such run", Cancel));
    }

    [Fact]
    public async Task A_recording_given_up_is_incomplete()
    {
        await using var store = await OpenAsync();
        var recording = await store.BeginAsync(Examples.Header(), Cancel);
        await recording.AppendAsync([Examples.Block(0)], Cancel);
        await recording.DisposeAsync();
        var run = await store.FindAsync(recording.RunId, Cancel);
        Assert.Equal(RunState.Incomplete, run?.State);
        Assert.Equal(_clock.GetUtcNow(), run?.EndedUtc);
        Assert.Equal(7, run?.Samples);
        await Assert.ThrowsAsync<InvalidOperationException>(() => recording.AppendAsync([Examples.Block(1)], Cancel).AsTask());
    }

    [Fact]
    public async Task An_ended_run_stays_as_it_ended()
    {
        await using var store = await OpenAsync();
        var recording = await store.BeginAsync(Examples.Header(), Cancel);
        await recording.EndAsync(RunState.Stopped, Examples.Started.AddSeconds(9), Cancel);
        await recording.DisposeAsync();
        Assert.Equal(0, await store.MarkInterruptedAsync(Cancel));
        Assert.Equal(RunState.Stopped, (await store.FindAsync(recording.RunId, Cancel))?.State);
    }

    [Fact]
    public async Task A_second_store_reads_while_the_first_records()
    {
        await using var serving = await OpenAsync();
        await using var reading = await OpenAsync();
        await using var recording = await serving.BeginAsync(Examples.Header(), Cancel);
        var writer = Task.Run(
            async () =>
            {
                for (var i = 0; i < 200; i++) await recording.AppendAsync([Examples.Block(i)], Cancel);
            },
            Cancel);
        var seen = 0;
        while (seen < 200)
        {
            var blocks = await reading.ReadBlocksAsync(recording.RunId, 0, Cancel).ToListAsync(Cancel);
            Assert.True(blocks.Count >= seen);
            Assert.Equal(Enumerable.Range(0, blocks.Count).Select(n => (long)n), blocks.Select(b => b.Sequence));
            seen = blocks.Count;
            if (writer.IsFaulted) break;
        }
        await writer;
        Assert.Equal(200 * 7, (await reading.FindAsync(recording.RunId, Cancel))?.Samples);
    }

    [Fact]
    public async Task Two_processes_may_make_the_store_at_once()
    {
        var stores = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => OpenAsync()));
        foreach (var store in stores)
        {
            Assert.Empty(await store.ListAsync(1, null, Cancel));
            await store.DisposeAsync();
        }
    }
}

public sealed class RunStoreOnSqliteTests() : RunStoreTests(null);

public sealed class RunStoreOnPostgresTests(PostgresServer server) : RunStoreTests(server);
