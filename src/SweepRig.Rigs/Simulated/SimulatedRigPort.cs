using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Simulated;

/// <summary>The way to a simulated rig in the same process: a duplex pipe. It may be opened again; the newer session ends the older, the rig goes on as it is.</summary>
public sealed class SimulatedRigPort(SimulatedRig rig) : IRigPort
{
    public string Name => "simulated rig";

    /// <exception cref="RigPortException">The rig has been shut down, or has broken.</exception>
    public ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        if (rig.Ended is { } why) throw new RigPortException(why);
        var (hosts, rigs) = PipeStream.Pair();
        // Serving ends with the host's stream; a fault of the rig itself is told at the next attempt to open.
        _ = rig.ServeAsync(rigs, CancellationToken.None)
            .ContinueWith(t => t.Exception, CancellationToken.None, TaskContinuationOptions.OnlyOnFaulted, TaskScheduler.Default);
        return ValueTask.FromResult<Stream>(hosts);
    }
}
