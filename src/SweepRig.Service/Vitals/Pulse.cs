using System.Collections.Immutable;
using Microsoft.Extensions.Hosting.Systemd;
using SweepRig.Domain.Logging;
using SweepRig.Rigs;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Vitals;

/// <summary>
/// Asks the owner task of each rig, its runner and the recording of its run, whether they go on, and feeds the watchdog of systemd only while all of them answer. A timer
/// that feeds by itself would keep a service alive whose rigs nobody owns any more.
/// </summary>
/// <param name="parts">What must go on, each with its name for the log.</param>
/// <param name="notifier">Null where no systemd is.</param>
public sealed class Pulse(IReadOnlyList<(string Name, IBeats Part)> parts, WatchdogSetting setting, TimeProvider time, ILogger<Pulse> logger, ISystemdNotifier? notifier) : IHostedLifecycleService, IAsyncDisposable
{
    private readonly Task?[] _asked = new Task?[parts.Count];
    private readonly CancellationTokenSource _stopping = new();
    private Task _beating = Task.CompletedTask;
    private ImmutableArray<string> _silent = [];

    /// <summary>What has not answered in time; empty while all is well.</summary>
    public IReadOnlyList<string> Silent => _silent;

    public static Pulse Of(IServiceProvider services) => new(
        [.. services.GetRequiredService<StationList>().SelectMany(Of)],
        WatchdogSetting.Read(Environment.GetEnvironmentVariable, Environment.ProcessId),
        services.GetRequiredService<TimeProvider>(),
        services.GetRequiredService<ILogger<Pulse>>(),
        services.GetService<ISystemdNotifier>());

    public Task StartedAsync(CancellationToken cancellationToken)
    {
        if (notifier is not null) logger.LogInformation(LogEvents.ServiceStarted, "Started with {Parts} to watch; the watchdog is {Fed}", parts.Count, setting.IsWatched ? $"fed every {setting.Every.TotalSeconds:0.#} s" : "off");
        _beating = Task.Run(() => BeatOnAsync(_stopping.Token), CancellationToken.None);
        return Task.CompletedTask;
    }

    public async Task StoppingAsync(CancellationToken cancellationToken)
    {
        if (notifier is not null) logger.LogInformation(LogEvents.ServiceStopping, "Asked to end; the rigs are made safe");
        await DisposeAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await _stopping.CancelAsync();
        await _beating;
    }

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    private static IEnumerable<(string, IBeats)> Of(Station station)
    {
        if (station.Runner is IBeats runner) yield return ($"the runner or the recording of {station.Name}", runner);
        if (station.Rig is IBeats rig) yield return ($"the owner of the rig of {station.Name}", rig);
    }

    private async Task BeatOnAsync(CancellationToken stopping)
    {
        try
        {
            using var timer = new PeriodicTimer(setting.Every, time);
            do
            {
                await BeatAsync(stopping);
            }
            while (await timer.WaitForNextTickAsync(stopping));
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            // The service ends.
        }
    }

    private async Task BeatAsync(CancellationToken stopping)
    {
        var answered = await Task.WhenAll(parts.Select((_, i) => AnswersAsync(i, stopping)));
        ImmutableArray<string> silent = [.. parts.Where((_, i) => !answered[i]).Select(p => p.Name)];
        foreach (var name in silent.Except(_silent)) logger.LogError(LogEvents.NotAlive, "{Part} has not answered for {Seconds:0.#} s; the watchdog is not fed", name, setting.Patience.TotalSeconds);
        foreach (var name in _silent.Except(silent)) logger.LogWarning(LogEvents.AliveAgain, "{Part} answers again", name);
        _silent = silent;
        if (silent.Length == 0 && setting.IsWatched) notifier?.Notify(new ServiceState("WATCHDOG=1"));
    }

    private async Task<bool> AnswersAsync(int part, CancellationToken stopping)
    {
        try
        {
            // One that is silent is not asked again and again, which would fill its inbox.
            if (_asked[part] is not { IsCompleted: false }) _asked[part] = parts[part].Part.BeatAsync(CancellationToken.None);
            await _asked[part]!.WaitAsync(setting.Patience, time, stopping);
            return true;
        }
        catch (Exception fault) when (fault is not OperationCanceledException)
        {
            return false;
        }
    }
}
