using SweepRig.Service.Cli.Benches;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Finds the running service that a command speaks to.</summary>
public static class ServiceDoor
{
    /// <summary>Does something at the running service's bench; without one says what to do.</summary>
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
