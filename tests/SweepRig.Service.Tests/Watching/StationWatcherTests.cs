using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Watching;

public sealed class StationWatcherTests : IAsyncDisposable
{
    private static readonly DateTimeOffset Now = new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero);

    private readonly FakeRunner _runner = new();
    private readonly Told _told = new();
    private readonly StationWatcher _watcher;
    private BenchState _state;

    public StationWatcherTests()
    {
        _state = _runner.State with { Link = RigLinkState.Connected, Identity = Examples.Rig };
        _runner.State = _state;
        _watcher = new("north", _runner, _told, new FakeTimeProvider(Now), NullLogger<StationWatcher>.Instance);
    }

    public ValueTask DisposeAsync() => _watcher.DisposeAsync();

    [Fact]
    public async Task A_trip_is_told_with_its_figures_what_to_do_and_the_tube_that_it_befell()
    {
        var header = Examples.Header();
        _runner.Feed.Publish(new LiveUpdate.RunStarted(header));
        Show(_state with { Run = new(header.Id, RunPhase.Sweeping, 0, 1, 10, 100, TimeSpan.Zero) });
        await AfterAllAsync();
        var trip = new Trip(TripCause.GridCurrent, true, "grid current 6.2 mA", "5 mA", Now.AddSeconds(-1), null);
        Show(_state with { Trip = trip, Run = null });
        var told = Assert.Single(await AfterAllAsync());
        Assert.Equal((EventSeverity.Alarm, EventKind.Trip, "north"), (told.Severity, told.Kind, told.Rig));
        Assert.Equal((header.Id, "SKUA-014", trip.OccurredUtc), (told.RunId, told.Tube, told.Utc));
        Assert.Equal("Too much grid current (grid current 6.2 mA, limit 5 mA).", told.Text);
        Assert.Contains("Lower the highest drive", told.Remedy, StringComparison.Ordinal);
        // The same trip in the next picture is no other.
        Show(_state with { TripCauseGone = true });
        Assert.Empty(await AfterAllAsync());
        Show(_state with { Trip = null });
        Assert.Equal(EventKind.TripReleased, Assert.Single(await AfterAllAsync()).Kind);
    }

    [Theory]
    [InlineData(TripCause.HostOrder, EventSeverity.Warning, EventKind.Trip)]
    [InlineData(TripCause.PermitEnded, EventSeverity.Warning, EventKind.Trip)]
    [InlineData(TripCause.RecordingFailed, EventSeverity.Alarm, EventKind.RecordingFailed)]
    [InlineData(TripCause.LinkLost, EventSeverity.Alarm, EventKind.Trip)]
    public async Task How_much_a_trip_matters_depends_on_its_cause(TripCause cause, EventSeverity severity, EventKind kind)
    {
        Show(_state with { Trip = new(cause, false, "", "", Now, null) });
        var told = Assert.Single(await AfterAllAsync());
        Assert.Equal((severity, kind), (told.Severity, told.Kind));
    }

    [Fact]
    public async Task The_latch_of_a_rig_that_has_just_started_is_no_trip_to_tell_of()
    {
        Show(_state with { Trip = new(TripCause.PowerUp, true, "", "", Now, null) });
        Show(_state with { Trip = null });
        Assert.Empty(await AfterAllAsync());
    }

    [Fact]
    public async Task A_rig_that_goes_and_comes_back_is_told_twice_and_another_in_its_place_is_told_as_such()
    {
        Show(_state with { Link = RigLinkState.Lost, Identity = null, LinkFault = "The port vanished. Check its cable." });
        var gone = Assert.Single(await AfterAllAsync());
        Assert.Equal((EventSeverity.Warning, EventKind.RigGone, "The port vanished. Check its cable."), (gone.Severity, gone.Kind, gone.Remedy));
        Show(_state with { Link = RigLinkState.Connected, Identity = Examples.Rig, LinkFault = null });
        Assert.Equal(EventKind.RigBack, Assert.Single(await AfterAllAsync()).Kind);
        Show(_state with { Link = RigLinkState.Lost, Identity = null });
        await AfterAllAsync();
        Show(_state with { Link = RigLinkState.Connected, Identity = Examples.Rig with { SerialNumber = "SIM-0002" } });
        var told = await AfterAllAsync();
        Assert.Equal([EventKind.RigBack, EventKind.RigExchanged], told.Select(e => e.Kind));
        Assert.Contains("SIM-0002 answers where SIM-0001", told[1].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_permit_is_told_when_it_is_granted_and_when_it_has_ended()
    {
        Show(_state with { Permit = new(Guid.NewGuid(), new(24), TimeSpan.FromMinutes(5), "fold-back check", Now) });
        await AfterAllAsync();
        Show(_state with { Permit = null });
        await AfterAllAsync();
        var told = _told.Events.Where(e => e.Kind != EventKind.RunIncomplete).ToList();
        Assert.Equal([EventKind.PermitGranted, EventKind.PermitEnded], told.Select(e => e.Kind));
        Assert.Contains("24 V is permitted for 5 min: fold-back check", told[0].Text, StringComparison.Ordinal);
    }

    private void Show(BenchState state)
    {
        _state = state;
        _runner.State = state;
        _runner.Feed.Publish(new LiveUpdate.State(state));
    }

    private int _marks;
    private int _looked;

    /// <summary>What was told since the last call: a run that ends incomplete is told last, and shows that all before it was heard.</summary>
    private async Task<IReadOnlyList<BenchEvent>> AfterAllAsync()
    {
        _runner.Feed.Publish(new LiveUpdate.RunEnded($"mark-{++_marks}", RunState.Incomplete));
        await Eventually.HoldsAsync("the mark is told", () => _told.Events.Any(e => e.RunId == $"mark-{_marks}"));
        var all = _told.Events;
        var since = all.Skip(_looked).Where(e => e.Kind != EventKind.RunIncomplete).ToList();
        _looked = all.Count;
        return since;
    }
}
