using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>Starts a pump for each viewer that connects; it ends with the connection.</summary>
public sealed class ViewerPumps(
    ISweepRunner runner, RunHeaders headers, IHubContext<BenchHub, IBenchViewer> hub, TimeProvider time, ILogger<ViewerPump> logger)
{
    /// <summary>The feed is subscribed to before this returns, so that nothing is missed between connecting and the first update.</summary>
    public void Start(string connectionId, CancellationToken connectionEnds)
    {
        var pump = new ViewerPump(hub.Clients.Client(connectionId), runner, headers, time, logger);
        _ = Task.Run(() => pump.RunAsync(connectionEnds), CancellationToken.None);
    }
}
