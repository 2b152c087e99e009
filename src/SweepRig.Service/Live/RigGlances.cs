using SweepRig.Service.Contract;
using SweepRig.Service.Stations;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>Turns the states of all rigs into what is seen of them at a glance. Pure.</summary>
public static class RigGlances
{
    public static RigListView Of(StationList stations) => new([.. stations.Select(s => Of(s.Name, s.Runner.State))]);

    public static RigGlanceView Of(string name, BenchState state) => new(
        name, Word(state), state.RigName, state.Identity?.SerialNumber, state.Identity?.Sockets ?? 0, state.LinkFault, state.Run?.RunId, state.Heater.On,
        state.Trip is { } trip ? BenchViews.Of(trip, state.TripCauseGone) : null);

    private static string Word(BenchState state) => state switch
    {
        { Trip: not null } => "tripped",
        { Link: RigLinkState.Lost } => "lost",
        { Link: RigLinkState.Connecting } => "connecting",
        { Run.Phase: RunPhase.Warming } => "warming",
        { Run: not null } => "sweeping",
        { Hold: not null } => "holding",
        _ => "connected",
    };
}
