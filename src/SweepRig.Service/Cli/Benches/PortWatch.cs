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
        var port = services.LastOrDefault(s => s.ServiceType == typeof(IRigPort)) ?? throw new InvalidOperationException("SweepRig bug: the bench has no port.");
        services.Remove(port);
        services.AddSingleton<IRigPort>(provider => new Watched(Make(port, provider), _first));
    }

    /// <exception cref="RigPortException">The port could not be opened.</exception>
    public async Task ThrowIfShutAsync(TimeProvider time, CancellationToken cancellationToken)
    {
        if (await _first.Task.WaitAsync(Limit, time, cancellationToken) is { } fault) throw new RigPortException(fault.Message, fault);
    }

    private static IRigPort Make(ServiceDescriptor port, IServiceProvider provider) => (IRigPort)(
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
}
