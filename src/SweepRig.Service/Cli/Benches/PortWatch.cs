using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;

namespace SweepRig.Service.Cli.Benches;

/// <summary>
/// Learns how the first opening of the rig's port goes. A port that cannot be opened at the start is somebody's mistake and ends the command; one that is lost
/// later is waited for.
/// </summary>
public sealed class PortWatch
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(15);

    private readonly TaskCompletionSource<RigPortException?> _first = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>Puts the watch around the port that the services have.</summary>
    public void Around(IServiceCollection services)
    {
        if (services.LastOrDefault(s => s.ServiceType == typeof(IBusPort)) is { } bus)
        {
            services.Remove(bus);
            services.AddSingleton<IBusPort>(provider => new WatchedBus(Make<IBusPort>(bus, provider), _first));
            return;
        }
        var port = services.LastOrDefault(s => s.ServiceType == typeof(IRigPort)) ?? throw new InvalidOperationException("SweepRig bug: the bench has no port.");
        services.Remove(port);
        services.AddSingleton<IRigPort>(provider => new Watched(Make<IRigPort>(port, provider), _first));
    }

    /// <exception cref="RigPortException">The port could not be opened.</exception>
    public async Task ThrowIfShutAsync(TimeProvider time, CancellationToken cancellationToken)
    {
        if (await _first.Task.WaitAsync(Limit, time, cancellationToken) is { } fault) throw new RigPortException(fault.Message, fault);
    }

    private static T Make<T>(ServiceDescriptor port, IServiceProvider provider) => (T)(
        port.ImplementationInstance
        ?? port.ImplementationFactory?.Invoke(provider)
        ?? ActivatorUtilities.CreateInstance(provider, port.ImplementationType!));

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
