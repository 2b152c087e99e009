using System.CommandLine;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Opens the bench that a command works at: the running service of the data directory, else one of this process.</summary>
internal static class BenchDoor
{
    /// <param name="aboutRig">The first option given that says what the rig is; null when none was. A running service has its rigs already.</param>
    /// <param name="rig">Which of the rigs of a running service; null for the only one.</param>
    /// <returns>The bench, whose rig answers or says why it does not; null after a complaint.</returns>
    public static async Task<IBench?> OpenAsync(CliContext context, BenchOptions options, Option? aboutRig, string? rig, CancellationToken cancellation)
    {
        var service = RunningService.Find(options.DataDirectory);
        var fault = service is not null && aboutRig is not null
            ? $"{aboutRig.Name} cannot be given: the service at {service.Url} (process {service.ProcessId}) has the rig. Leave it out, or end that service."
            : await ServiceDoor.RigFaultAsync(service, rig, options.DataDirectory, cancellation);
        if (fault is not null)
        {
            context.Terminal.Complain(fault);
            return null;
        }
        IBench where = service is not null ? new RemoteBench(service, rig) : await LocalBench.StartAsync(options, cancellation);
        await where.UntilConnectedAsync(context.Time, cancellation);
        return where;
    }
}
