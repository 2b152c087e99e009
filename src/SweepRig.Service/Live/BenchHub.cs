using Microsoft.AspNetCore.SignalR;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Live;

/// <summary>Where viewers connect. It takes no commands: those go through REST.</summary>
public sealed class BenchHub : Hub<IBenchViewer>
{
    public const string Path = "/hub/bench";
}
