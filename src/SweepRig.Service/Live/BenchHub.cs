using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Live;

/// <summary>Where viewers connect. It takes no commands: those go through REST. Each connection has a pump of its own.</summary>
public sealed class BenchHub(ViewerPumps pumps) : Hub<IBenchViewer>
{
    public const string Path = "/hub/bench";

    public override Task OnConnectedAsync()
    {
        pumps.Start(Context.ConnectionId, Context.ConnectionAborted);
        return Task.CompletedTask;
    }
}
