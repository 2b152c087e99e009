using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Live;

/// <summary>Where viewers connect. It takes no commands: those go through REST. Each connection has a pump of its own.</summary>
public sealed class BenchHub(ViewerPumps pumps) : Hub<IBenchViewer>
{
    public const string Path = "/hub/bench";

    /// <summary>A viewer hears something at least this often, a bench at rest included; the page takes 6 s of silence for a lost service.</summary>
    public static TimeSpan KeepAlive { get; } = TimeSpan.FromSeconds(2);

    public override Task OnConnectedAsync()
    {
        pumps.Start(Context.ConnectionId, Context.ConnectionAborted);
        return Task.CompletedTask;
    }
}
