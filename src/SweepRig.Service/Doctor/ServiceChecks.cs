using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Doctor;

/// <summary>The service that records into the data directory.</summary>
public static class ServiceChecks
{
    private const string Topic = "service";

    /// <summary>What a service said that was asked.</summary>
    /// <param name="Rigs">What it said of each of its rigs, in their order; empty where it does not answer.</param>
    public sealed record Answer(RunningService Service, LiveView? Live, IReadOnlyList<RigAnswer> Rigs, string? Fault);

    /// <param name="Name">What the service calls the rig.</param>
    /// <param name="Bench">Null with a fault.</param>
    public sealed record RigAnswer(string Name, BenchView? Bench, string? Fault);

    /// <returns>Null when none runs.</returns>
    public static async Task<Answer?> AskAsync(string directory, CancellationToken cancellationToken)
    {
        if (RunningService.Find(directory) is not { } service) return null;
        await using var bench = new RemoteBench(service);
        try
        {
            var rigs = await Task.WhenAll((await bench.RigsAsync(cancellationToken)).Rigs.Select(r => AskAsync(service, r.Name, cancellationToken)));
            // Last: how long it has run is held against this computer's clock at once.
            return new(service, await bench.LiveAsync(cancellationToken), rigs, null);
        }
        catch (BenchUnreachableException fault)
        {
            return new(service, null, [], fault.Message);
        }
    }

    private static async Task<RigAnswer> AskAsync(RunningService service, string rig, CancellationToken cancellationToken)
    {
        await using var bench = new RemoteBench(service, rig);
        try
        {
            return new(rig, await bench.StateAsync(cancellationToken), null);
        }
        catch (BenchUnreachableException fault)
        {
            return new(rig, null, fault.Message);
        }
    }

    /// <param name="answer">Null when none runs.</param>
    public static IEnumerable<Finding> Of(IMachine machine, Answer? answer, string directory)
    {
        if (answer is null)
        {
            yield return machine.Read(Path.Combine(directory, ServiceNote.FileName)) is null
                ? Finding.Good(Topic, $"none runs on {directory}; sweeprig {BenchServices.SoftwareVersion}")
                : Finding.Look(Topic, $"the last service on {directory} did not end in order", "Nothing is lost that was recorded. Start it again; if nobody killed it, look at its log: journalctl -u sweeprig.");
            yield break;
        }
        var url = answer.Service.Url.GetLeftPart(UriPartial.Authority);
        if (answer.Live is not { } live)
        {
            yield return Finding.Bad(Topic, $"process {answer.Service.ProcessId} does not answer at {url} ({answer.Fault!.TrimEnd('.')})", "Look at its log; start it again. The rig is safe by its lease.");
            yield break;
        }
        var found = $"answers at {url}, process {live.ProcessId}, version {live.Version}, for {Span(live.UptimeSeconds)}";
        yield return live.Version == BenchServices.SoftwareVersion ? Finding.Good(Topic, found)
            : Finding.Look(Topic, $"{found}; this program is {BenchServices.SoftwareVersion}", "Start the service again when no run is under way, so that both are the same.");
    }

    private static string Span(double seconds) => seconds switch
    {
        < 120 => FormattableString.Invariant($"{seconds:0} s"),
        < 7200 => FormattableString.Invariant($"{seconds / 60:0} minutes"),
        < 172_800 => FormattableString.Invariant($"{seconds / 3600:0} hours"),
        _ => FormattableString.Invariant($"{seconds / 86_400:0} days"),
    };
}
