using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Fits;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Watching;

/// <summary>What is told of tubes and rails that change while nobody is there.</summary>
public sealed class DriftWatchTests : IAsyncLifetime
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 21, 0, 0, TimeSpan.Zero);

    private readonly TemporaryData _data = new();
    private readonly Workbench _workbench = new();
    private readonly Told _told = new();
    private RunStore _runs = null!;
    private FigureShelf _shelf = null!;
    private DriftWatch _drift = null!;
    private int _made;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        _shelf = new(_workbench);
        _drift = New();
    }

    public async ValueTask DisposeAsync()
    {
        await _drift.DisposeAsync();
        await _runs.DisposeAsync();
        _workbench.Dispose();
        _data.Dispose();
    }

    [Fact]
    public async Task A_cathode_that_fades_is_told_with_all_that_it_changes_and_once_until_it_has_come_back()
    {
        await SweptAsync("SKUA-001");
        await SweptAsync("SKUA-001", current: 0.4);
        await SweptAsync("SKUA-001", current: 0.4);
        var first = Assert.Single(await ToldAfterMarkerAsync());
        Assert.Equal((EventKind.Drift, EventSeverity.Warning, "SKUA-001", "left"), (first.Kind, first.Severity, first.Tube, first.Rig));
        Assert.Matches(@"pentode\.switching-drive changed by .* m?V, [\d.]+ times .*pentode\.plate-current changed by -.* [mµ]A, [\d.]+ times", first.Text);
        Assert.DoesNotContain("supply", first.Text, StringComparison.Ordinal);
        Assert.Contains("sweeprig drift SKUA-001 --of pentode.switching-drive", first.Remedy, StringComparison.Ordinal);
        await SweptAsync("SKUA-001");
        await SweptAsync("SKUA-001", current: 0.4);
        Assert.Equal(2, (await ToldAfterMarkerAsync()).Count);
    }

    [Fact]
    public async Task A_service_that_was_started_again_does_not_tell_the_same_change_again()
    {
        await SweptAsync("SKUA-001");
        await SweptAsync("SKUA-001", current: 0.4);
        Assert.Single(await ToldAfterMarkerAsync());
        await _drift.DisposeAsync();
        _drift = New();
        await SweptAsync("SKUA-001", current: 0.4);
        Assert.Single(await ToldAfterMarkerAsync());
    }

    [Fact]
    public async Task A_rail_that_changed_is_told_once_for_the_rig_and_not_for_every_tube()
    {
        foreach (var tube in new[] { "SKUA-001", "SKUA-002", "SKUA-003" }) await SweptAsync(tube);
        foreach (var tube in new[] { "SKUA-001", "SKUA-002", "SKUA-003" }) await SweptAsync(tube, rail: 24);
        var rails = (await ToldAfterMarkerAsync()).Where(e => e.Text.Contains("pentode.supply", StringComparison.Ordinal)).ToArray();
        Assert.Matches(@"^SKUA-001 .*pentode\.supply changed by -[34]\.\d+ ± .* V", Assert.Single(rails).Text);
        Assert.Contains("Measure the plate rail with a meter", rails[0].Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Tubes_that_only_the_noise_makes_differ_are_not_told()
    {
        for (var i = 0; i < 12; i++) await SweptAsync($"SKUA-00{i % 3}");
        Assert.Empty(await ToldAfterMarkerAsync());
    }

    private DriftWatch New() => new(_runs, _shelf, _told, TimeProvider.System, NullLogger<DriftWatch>.Instance);

    private async Task SweptAsync(string tube, double current = 1, double? rail = null)
    {
        var run = new ModelledRun(PlanExamples.GentlePentode) { StartedUtc = Evening.AddMinutes(_made++), Label = new(tube, "6AU6", "Skua"), Seed = _made };
        run = run with
        {
            Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * current },
            Wired = rail is { } volts ? run.Plan.Connection with { PlateRail = new(volts) } : null,
        };
        await run.StoreAsync(_runs);
        _drift.RunEnded("left", run.Header, RunState.Complete);
    }

    /// <summary>What was told of all others, once a tube that surely changed was told: runs are looked at in their order.</summary>
    private async Task<IReadOnlyList<BenchEvent>> ToldAfterMarkerAsync()
    {
        var marker = $"MARK-{_made}";
        await SweptAsync(marker);
        await SweptAsync(marker, current: 0.1);
        await Eventually.HoldsAsync("the marker is told", () => _told.Events.Any(e => e.Tube == marker));
        return [.. _told.Events.Where(e => e.Tube?.StartsWith("MARK", StringComparison.Ordinal) == false)];
    }
}
