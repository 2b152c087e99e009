using System.Collections.Concurrent;
using Microsoft.Extensions.Hosting.Systemd;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Rigs;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Vitals;

namespace SweepRig.Service.Tests.Vitals;

/// <summary>The watchdog is fed only while all answer. Time is the test's own.</summary>
public sealed class PulseTests
{
    private static readonly WatchdogSetting Watched = new(TimeSpan.FromSeconds(15), IsWatched: true);

    private readonly FakeTimeProvider _time = new();
    private readonly Notifier _notifier = new();
    private readonly Part _runner = new(), _rig = new();

    [Fact]
    public async Task It_is_fed_at_once_and_then_each_time_while_all_answer()
    {
        await using var pulse = await StartAsync(Watched);
        await Eventually.HoldsAsync("a beat", () => _notifier.Said.Count == 1);
        _time.Advance(Watched.Every);
        await Eventually.HoldsAsync("a beat", () => _notifier.Said.Count == 2);
        Assert.All(_notifier.Said, s => Assert.Equal("WATCHDOG=1", s));
        Assert.Empty(pulse.Silent);
    }

    [Fact]
    public async Task One_owner_that_hangs_stops_the_feeding_and_is_named_and_feeding_goes_on_once_it_answers()
    {
        await using var pulse = await StartAsync(Watched);
        await Eventually.HoldsAsync("a beat", () => _notifier.Said.Count == 1);
        _rig.Hang();
        await PassUntilAsync("the rig to be missed", () => pulse.Silent.Count == 1);
        for (var i = 0; i < 300; i++) _time.Advance(TimeSpan.FromSeconds(1));
        Assert.Equal(["the rig"], pulse.Silent);
        Assert.Single(_notifier.Said);
        // It was asked once, and not again while it had not answered.
        Assert.Equal(2, _rig.Asked);

        _rig.GoOn();
        await PassUntilAsync("the feeding to go on", () => pulse.Silent.Count == 0 && _notifier.Said.Count >= 2);
    }

    [Fact]
    public async Task An_owner_that_has_ended_stops_the_feeding()
    {
        _rig.End();
        await using var pulse = await StartAsync(Watched);
        await Eventually.HoldsAsync("a beat", () => pulse.Silent.Count == 1);
        Assert.Empty(_notifier.Said);
    }

    [Fact]
    public async Task Nobody_is_fed_where_nobody_watches_but_the_parts_are_still_asked()
    {
        await using var pulse = await StartAsync(WatchdogSetting.Read(_ => null, 7));
        await Eventually.HoldsAsync("a beat", () => _rig.Asked >= 1);
        await pulse.StoppingAsync(TestContext.Current.CancellationToken);
        Assert.Empty(_notifier.Said);
    }

    // sd_watchdog_enabled(3): microseconds, and only for the process of that id where one is named.
    [Theory]
    [InlineData("60000000", null, true, 15)]
    [InlineData("60000000", "7", true, 15)]
    [InlineData("60000000", "8", false, 5)]
    [InlineData(null, null, false, 5)]
    [InlineData("0", null, false, 5)]
    [InlineData("soon", null, false, 5)]
    public void What_systemd_says_of_the_watchdog_is_read_as_its_manual_has_it(string? microseconds, string? process, bool watched, double seconds)
    {
        var setting = WatchdogSetting.Read(name => name switch { "WATCHDOG_USEC" => microseconds, "WATCHDOG_PID" => process, _ => null }, 7);
        Assert.Equal((watched, TimeSpan.FromSeconds(seconds)), (setting.IsWatched, setting.Every));
        Assert.True(setting.Patience < setting.Every);
    }

    /// <summary>In steps: a wait that begins between two of them is not passed by.</summary>
    private Task PassUntilAsync(string what, Func<bool> condition) => Eventually.HoldsAsync(what, () =>
    {
        _time.Advance(TimeSpan.FromSeconds(1));
        return condition();
    });

    private async Task<Pulse> StartAsync(WatchdogSetting setting)
    {
        var pulse = new Pulse([("the runner", _runner), ("the rig", _rig)], setting, _time, NullLogger<Pulse>.Instance, _notifier);
        await pulse.StartedAsync(TestContext.Current.CancellationToken);
        return pulse;
    }

    private sealed class Notifier : ISystemdNotifier
    {
        public ConcurrentQueue<string> Said { get; } = [];

        public bool IsEnabled => true;

        public void Notify(ServiceState state) => Said.Enqueue(state.ToString());
    }

    private sealed class Part : IBeats
    {
        private TaskCompletionSource? _hanging;
        private bool _ended;

        public int Asked { get; private set; }

        public void Hang() => _hanging = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public void GoOn()
        {
            var hung = _hanging!;
            _hanging = null;
            hung.SetResult();
        }

        public void End() => _ended = true;

        public Task BeatAsync(CancellationToken cancellationToken)
        {
            Asked++;
            return _ended ? throw new InvalidOperationException("ended") : _hanging?.Task ?? Task.CompletedTask;
        }
    }
}
