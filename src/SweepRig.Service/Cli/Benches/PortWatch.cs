using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Cli.Benches;

/// <summary>
/// Learns how the first opening of each rig's port goes. A port that cannot be opened at the start is somebody's mistake and ends the command, unless another
/// rig can be worked with; one that is lost later is waited for.
/// </summary>
public sealed class PortWatch : IPortObserver
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(15);

    private readonly Dictionary<RigChoice, TaskCompletionSource<RigPortException?>> _first = [];

    /// <summary>Puts the watch around the ports of the services.</summary>
    public void Around(IServiceCollection services) => services.AddSingleton<IPortObserver>(this);

    public IRigPort Around(RigChoice choice, IRigPort port) => new Watched(port, _first[choice] = New());

    public IBusPort Around(RigChoice choice, IBusPort port) => new WatchedBus(port, _first[choice] = New());

    /// <returns>Why ports could not be opened, of rigs that are looked for further.</returns>
    /// <exception cref="RigPortException">No port could be opened.</exception>
    public async Task<IReadOnlyList<(RigChoice Rig, string Fault)>> ThrowIfShutAsync(TimeProvider time, CancellationToken cancellationToken)
    {
        List<(RigChoice, string)> shut = [];
        foreach (var (rig, first) in _first)
        {
            if (await first.Task.WaitAsync(Limit, time, cancellationToken) is not { } fault) continue;
            shut.Add((rig, fault.Message));
            if (shut.Count == _first.Count) throw new RigPortException(string.Join(" ", shut.Select(s => s.Item2)), fault);
        }
        return shut;
    }

    private static TaskCompletionSource<RigPortException?> New() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private sealed class Watched(IRigPort port, TaskCompletionSource<RigPortException?> first) : IRigPort
    {
        public string Name => port.Name;

        public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
        {
            try
            {
                var stream = await port.OpenAsync(cancellationToken);
                first.TrySetResult(null);
                return stream;
            }
            catch (RigPortException fault)
            {
                first.TrySetResult(fault);
                throw;
            }
        }
    }

    private sealed class WatchedBus(IBusPort port, TaskCompletionSource<RigPortException?> first) : IBusPort
    {
        public string Name => port.Name;

        public BusWires Open()
        {
            try
            {
                var wires = port.Open();
                first.TrySetResult(null);
                return wires;
            }
            catch (RigPortException fault)
            {
                first.TrySetResult(fault);
                throw;
            }
        }
    }
}
