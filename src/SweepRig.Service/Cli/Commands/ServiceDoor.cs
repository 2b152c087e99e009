using SweepRig.Service.Cli.Benches;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Finds the running service that a command speaks to, and the rig of it.</summary>
public static class ServiceDoor
{
    /// <summary>Does something at the running service that concerns none of its rigs, or all; without one says what to do.</summary>
    /// <returns>The exit code.</returns>
    public static async Task<int> EnterAsync(CliContext context, string? url, string? data, Func<RemoteBench, Task<int>> act)
    {
        var (service, fault, exit) = Find(context, url, data);
        if (service is null)
        {
            context.Terminal.Complain(fault!);
            return exit;
        }
        await using var bench = new RemoteBench(service);
        return await act(bench);
    }

    /// <summary>Does something at one rig of the running service; without a service, or where it is not clear which rig is meant, says what to do.</summary>
    /// <returns>The exit code.</returns>
    public static async Task<int> EnterAtRigAsync(CliContext context, string? url, string? data, string? rig, Func<RemoteBench, Task<int>> act, CancellationToken cancellationToken)
    {
        var (service, fault, exit) = Find(context, url, data);
        if (service is null)
        {
            context.Terminal.Complain(fault!);
            return exit;
        }
        if (await RigFaultAsync(service, rig, cancellationToken) is { } unclear)
        {
            context.Terminal.Complain(unclear);
            return ExitCode.BadInput;
        }
        await using var bench = new RemoteBench(service, rig);
        return await act(bench);
    }

    /// <param name="service">Null when none runs: a bench of its own has one rig.</param>
    /// <returns>Why it is not clear which rig is meant; null when it is.</returns>
    public static async Task<string?> RigFaultAsync(RunningService? service, string? rig, string dataDirectory, CancellationToken cancellationToken) =>
        service is not null ? await RigFaultAsync(service, rig, cancellationToken)
        : rig is null ? null
        : $"--rig {rig} cannot be given: no service is running on {dataDirectory}, and a command by itself has one rig. Leave it out, or start the service with sweeprig serve.";

    private static async Task<string?> RigFaultAsync(RunningService service, string? rig, CancellationToken cancellationToken)
    {
        await using var bench = new RemoteBench(service);
        var names = (await bench.RigsAsync(cancellationToken)).Rigs.Select(r => r.Name).ToArray();
        var url = service.Url.GetLeftPart(UriPartial.Authority);
        if (rig is null) return names.Length > 1 ? $"--rig missing: the service at {url} drives {names.Length} rigs: {string.Join(", ", names)}. Say which is meant with --rig NAME." : null;
        return names.Contains(rig) ? null : $"--rig {rig}: the service at {url} has {string.Join(", ", names)}. Name one of these.";
    }

    /// <param name="url">As given; null for the service that uses the data directory.</param>
    /// <returns>The service, or the line that says what to do.</returns>
    private static (RunningService? Service, string? Fault, int ExitCode) Find(CliContext context, string? url, string? data)
    {
        if (url is not null)
        {
            return Uri.TryCreate(url, UriKind.Absolute, out var uri) && uri.Scheme == Uri.UriSchemeHttp
                ? (new(uri, null), null, Cli.ExitCode.Good)
                : (null, $"--url {url}: allowed is an address such as http://127.0.0.1:5240. Leave it out to find the service by its data directory.", Cli.ExitCode.BadInput);
        }
        var directory = DataPlace.Of(data, context.Variable);
        return RunningService.Find(directory) is { } service
            ? (service, null, Cli.ExitCode.Good)
            : (null, $"No service is running on {directory}. Start one with sweeprig serve, or name another with --data or --url.", Cli.ExitCode.Failed);
    }
}
