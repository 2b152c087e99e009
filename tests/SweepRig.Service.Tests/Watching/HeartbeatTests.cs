using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Watching;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class HeartbeatTests : IDisposable
{
    private readonly TemporaryData _data = new();
    private readonly FakeTimeProvider _time = new();
    private readonly Told _told = new();
    private int _beats;
    private volatile string? _refuses;

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task It_goes_out_at_once_and_each_period_and_its_absence_is_told_once()
    {
        var file = _data.File("alive");
        await using var heartbeat = new Heartbeat(() => new(TimeSpan.FromMinutes(1), new("https://alerts.museum.example/alive"), file), new StationList([]), BeatAsync, _told, _time, NullLogger.Instance);
        await Eventually.HoldsAsync("the first sign", () => heartbeat.LastUtc is not null);
        Assert.Equal(0, (int)JsonNode.Parse(await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken))!["rigs"]!);
        await BeatsAsync(2);
        _refuses = "answered 503";
        await BeatsAsync(4);
        Assert.Equal("No sign of life was given: answered 503.", Assert.Single(_told.Events).Text);
        Assert.Equal(EventKind.HeartbeatMissed, _told.Events[0].Kind);
        _refuses = null;
        await BeatsAsync(5);
        Assert.Single(_told.Events);
    }

    [Fact]
    public async Task A_rig_whose_task_does_not_answer_keeps_it_from_going_out()
    {
        await using var bench = await TestBench.StartAsync();
        var stuck = new TaskCompletionSource();
        bench.Runner.HoldsBack = stuck.Task;
        var stations = (StationList)bench.Services.GetService(typeof(StationList))!;
        await using (var heartbeat = new Heartbeat(() => new(TimeSpan.FromMinutes(1), new("https://alerts.museum.example/alive"), null), stations, BeatAsync, _told, _time, NullLogger.Instance))
        {
            await Eventually.HoldsAsync("it is told", () =>
            {
                _time.Advance(TimeSpan.FromSeconds(1));
                return _told.Events.Count == 1;
            });
            Assert.Equal("No sign of life was given: the task of rig-1 does not answer.", _told.Events[0].Text);
            Assert.Null(heartbeat.LastUtc);
            Assert.Equal(0, _beats);
        }
        stuck.SetResult();
    }

    private Task BeatsAsync(int count) => Eventually.HoldsAsync($"sign {count}", () =>
    {
        if (Volatile.Read(ref _beats) >= count) return true;
        _time.Advance(TimeSpan.FromMinutes(1));
        return false;
    });

    private Task BeatAsync(Uri url, byte[] body, CancellationToken cancellationToken)
    {
        Interlocked.Increment(ref _beats);
        return _refuses is { } why ? throw new AlarmFailedException(why, isFinal: false) : Task.CompletedTask;
    }
}
