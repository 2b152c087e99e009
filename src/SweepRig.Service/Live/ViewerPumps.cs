using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Contract;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Live;

/// <summary>Starts a pump for each viewer that connects; it ends with the connection.</summary>
public sealed class ViewerPumps(
    RigsWatch rigs, RunHeaders headers, IHubContext<BenchHub, IBenchViewer> hub, TimeProvider time, ILogger<ViewerPump> logger)
{
    /// <summary>The feed is subscribed to before this returns, so that nothing is missed between connecting and the first update.</summary>
    public void Start(string connectionId, Station station, CancellationToken connectionEnds)
    {
        var viewer = hub.Clients.Client(connectionId);
        var pump = new ViewerPump(viewer, station.Runner, headers, time, logger);
        _ = Task.Run(() => pump.RunAsync(connectionEnds), CancellationToken.None);
        _ = Task.Run(() => rigs.PumpAsync(viewer, connectionEnds), CancellationToken.None);
    }
}
