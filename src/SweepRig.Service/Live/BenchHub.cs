using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Live;

/// <summary>Where viewers connect, each to the rig that it names as <c>?rig=NAME</c>, else to the first. It takes no commands: those go through REST. Each connection has a pump of its own.</summary>
public sealed class BenchHub(ViewerPumps pumps, StationList stations) : Hub<IBenchViewer>
{
    public const string Path = "/hub/bench";

    /// <summary>A viewer hears something at least this often, a bench at rest included; the page takes 6 s of silence for a lost service.</summary>
    public static TimeSpan KeepAlive { get; } = TimeSpan.FromSeconds(2);

    public override Task OnConnectedAsync()
    {
        var query = Context.GetHttpContext()!.Request.Query;
        var chosen = stations.Find(query.TryGetValue(AskedRig.Parameter, out var name) ? name.ToString() : null);
        if (!chosen.IsAccepted) throw new HubException(chosen.Refusals[0].ToString());
        pumps.Start(Context.ConnectionId, chosen.Value, Context.ConnectionAborted);
        return Task.CompletedTask;
    }
}
