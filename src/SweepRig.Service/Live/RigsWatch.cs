using System.Collections.Concurrent;
using System.Threading.Channels;
using SweepRig.Domain.Logging;
using SweepRig.Service.Contract;
using SweepRig.Service.Stations;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>
/// Tells every viewer at a glance of all rigs, whichever it has chosen, so that a trip on a rig that is not shown is seen. A viewer that is behind gets
/// the newest picture alone. With one rig there is nothing to tell.
/// </summary>
public sealed class RigsWatch(StationList stations, ILogger<RigsWatch> logger) : IHostedService, IDisposable
{
    private readonly ConcurrentDictionary<ChannelWriter<bool>, bool> _viewers = [];
    private readonly CancellationTokenSource _stopped = new();
    private Task _watching = Task.CompletedTask;

    public Task StartAsync(CancellationToken cancellationToken)
    {
        if (stations.Count > 1) _watching = Task.WhenAll(stations.Select(WatchAsync));
        return Task.CompletedTask;
    }

    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopped.CancelAsync();
        await _watching;
    }

    public void Dispose() => _stopped.Dispose();

    /// <summary>Sends the picture at once, and then each that differs, until the connection ends.</summary>
    public async Task PumpAsync(IBenchViewer viewer, CancellationToken connectionEnds)
    {
        if (stations.Count < 2) return;
        var nudges = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });
        _viewers[nudges.Writer] = true;
        try
        {
            RigGlanceView[] told = [];
            do
            {
                var picture = RigGlances.Of(stations);
                if (picture.Rigs.SequenceEqual(told)) continue;
                told = picture.Rigs;
                await viewer.RigsChanged(picture);
            }
            while (await nudges.Reader.ReadAsync(connectionEnds));
        }
        catch (OperationCanceledException) when (connectionEnds.IsCancellationRequested)
        {
            // The viewer left.
        }
        catch (Exception fault)
        {
            // Nobody awaits a pump.
            logger.LogError(LogEvents.ViewerFailed, fault, "SweepRig bug: a viewer is no longer told of all rigs");
        }
        finally
        {
            _viewers.TryRemove(nudges.Writer, out _);
        }
    }

    private async Task WatchAsync(Station station)
    {
        using var feed = station.Runner.Feed.Subscribe(1);
        RigGlanceView? last = null;
        try
        {
            await foreach (var update in feed.ReadAllAsync(_stopped.Token))
            {
                if (update is not LiveUpdate.State) continue;
                var glance = RigGlances.Of(station.Name, station.Runner.State);
                if (glance == last) continue;
                last = glance;
                foreach (var viewer in _viewers.Keys) viewer.TryWrite(true);
            }
        }
        catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
        {
            // The service stops.
        }
    }
}
