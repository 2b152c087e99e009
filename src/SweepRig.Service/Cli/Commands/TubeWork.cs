using System.CommandLine;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands;

/// <summary>How a command begins that needs a rig for itself, and one tube in it: options, plan, tube, a bench of this process, a rig that answers.</summary>
/// <param name="what">With its article, for example <c>a screening</c>.</param>
/// <param name="night">Example of a night with such a job, which a running service can do.</param>
internal sealed class TubeWork(string what, string night)
{
    private readonly TubeAtSocket _tube = new();
    private readonly PlanOption _plan = new("Plan whose connection is used: rail, heater, resistors");
    private readonly BenchArguments _bench = new();
    private readonly Option<bool> _json = SharedOptions.Json();

    /// <param name="own">Options of the command itself; they stand before those of the bench.</param>
    public void AddTo(Command command, IEnumerable<Option> own)
    {
        _tube.AddTo(command);
        _plan.AddTo(command);
        foreach (var option in own) command.Add(option);
        _bench.AddTo(command);
        command.Add(_json);
    }

    /// <summary>Opens all that is needed, or tells what is in the way.</summary>
    /// <returns>What <paramref name="act"/> gives, else the exit code of the fault.</returns>
    public async Task<int> BeginAsync(CliContext context, ParseResult parsed, Func<TubeAtBench, Task<int>> act, CancellationToken cancellation)
    {
        var json = parsed.GetValue(_json);
        var plan = await _plan.ReadAsync(parsed, context, cancellation);
        if (!plan.IsAccepted) return context.Tell(plan.Refusals, json, ExitCode.BadInput, _plan.Name(parsed));
        var options = _bench.Read(parsed, context);
        if (!options.IsAccepted) return context.Tell(options.Refusals, json, ExitCode.BadInput, _bench.BusFile(parsed));
        if (RunningService.Find(options.Value.DataDirectory) is { } service)
        {
            return context.Tell(
                [new("rig-in-use", "", $"{what} by itself was asked for", $"the service at {service.Url} (process {service.ProcessId}) has {await RigsOfAsync(service, cancellation)}",
                    $"Let the service do it as a job of a night, as in sweeprig night plan {night}; or end that service; or name another --data.")],
                json, ExitCode.Failed);
        }
        var tube = await _tube.ReadAsync(parsed, context, options.Value.DataDirectory, cancellation);
        if (!tube.IsAccepted) return context.Tell(tube.Refusals, json, ExitCode.BadInput);
        await using var bench = await LocalBench.StartAsync(options.Value, cancellation);
        await bench.UntilConnectedAsync(context.Time, cancellation);
        var state = bench.Runner.State;
        if (state.Identity is not { } rig)
        {
            var why = state.LinkFault is { } fault ? $"{state.RigName} is not connected: {fault.TrimEnd('.')}" : $"{state.RigName} is not connected yet";
            return context.Tell([new("rig-not-connected", "", $"{what} was asked for", why, "Check its cable and power, then try again.")], json, ExitCode.Refused);
        }
        return await act(new(bench, options.Value, rig, tube.Value, _tube.Socket(parsed), plan.Value.Connection, json));
    }

    private static async Task<string> RigsOfAsync(RunningService service, CancellationToken cancellation)
    {
        await using var bench = new RemoteBench(service);
        try
        {
            var names = (await bench.RigsAsync(cancellation)).Rigs.Select(r => r.Name).ToArray();
            return names.Length > 1 ? $"all {names.Length} rigs ({string.Join(", ", names)})" : "the rig";
        }
        catch (BenchUnreachableException)
        {
            // It is the one with the rigs, whether or not it can name them.
            return "the rig";
        }
    }
}

/// <param name="Bench">Ends with the command.</param>
/// <param name="Rig">Answers.</param>
/// <param name="Socket">From 0.</param>
/// <param name="Connection">Of the plan that was named.</param>
internal sealed record TubeAtBench(LocalBench Bench, BenchOptions Options, RigIdentity Rig, StockedTube Tube, int Socket, Connection Connection, bool Json);
