using System.CommandLine;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands.Nights;

/// <summary>Where a night is planned or done: the running service, else a bench of this process.</summary>
internal static class NightBench
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(200);

    /// <param name="rig">Which of the rigs of a running service; null for the only one.</param>
    /// <returns>Null after a complaint: an option about the rig was given, and a running service has it, or it is not clear which rig is meant.</returns>
    public static async Task<IBench?> OpenAsync(CliContext context, BenchOptions options, Option? aboutRig, string? rig, CancellationToken cancellation)
    {
        var service = RunningService.Find(options.DataDirectory);
        if (service is not null && aboutRig is not null)
        {
            context.Terminal.Complain($"{aboutRig.Name} cannot be given: the service at {service.Url} (process {service.ProcessId}) has the rig. Leave it out, or end that service.");
            return null;
        }
        if (await ServiceDoor.RigFaultAsync(service, rig, options.DataDirectory, cancellation) is { } unclear)
        {
            context.Terminal.Complain(unclear);
            return null;
        }
        IBench where = service is not null ? new RemoteBench(service, rig) : await LocalBench.StartAsync(options, cancellation);
        await where.UntilConnectedAsync(context.Time, cancellation);
        return where;
    }

    /// <summary>Stays until the night is over, and tells each step that is done with.</summary>
    public static async Task<NightView> FollowAsync(CliContext context, IBench where, CancellationToken cancellation)
    {
        var told = new HashSet<int>();
        var doing = "";
        while (true)
        {
            var night = (await where.NightAsync(cancellation))!;
            foreach (var step in night.Latest.Where(s => told.Add(s.Step)).Reverse()) context.Terminal.Error.WriteLine(NightStateText.Step(step));
            if (night.State == "over") return night;
            if (night.Doing != doing && night.State is not "working") context.Terminal.Error.WriteLine($"{night.State,-11}  {night.Doing}{(night.WakesUtc is { } wakes ? $", until {wakes}" : "")}");
            doing = night.Doing;
            try
            {
                await Task.Delay(LookEvery, context.Time, cancellation);
            }
            catch (OperationCanceledException)
            {
                context.Terminal.Complain($"The night \"{night.Name}\" is cut short, not over: sweeprig serve with the same --data takes it up again.");
                throw;
            }
        }
    }
}
