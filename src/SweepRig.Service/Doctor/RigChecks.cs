using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Doctor;

/// <summary>Whether the rig answers, and who it is; and its calibration.</summary>
public static class RigChecks
{
    /// <summary>A calibration that ends sooner is worth a look before a night.</summary>
    private static readonly TimeSpan Soon = TimeSpan.FromDays(14);

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(8);

    private const string Topic = "rig", Calibration = "calibration";

    /// <summary>Shakes hands with the rig on a port that no service has. Nothing is driven; its supplies are switched off at the end.</summary>
    /// <returns>The rig, or why there is none.</returns>
    public static async Task<(RigIdentity? Rig, string? Fault)> AskAsync(IRigPort port, TimeProvider time, CancellationToken cancellationToken)
    {
        await using var rig = new LinkRig(port, time, NullLogger<LinkRig>.Instance);
        rig.Start();
        using var limit = new CancellationTokenSource(Patience, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, cancellationToken);
        try
        {
            await foreach (var happened in rig.Events.ReadAllAsync(either.Token))
            {
                if (happened is RigEvent.Connected connected) return (connected.Identity, null);
                if (happened is RigEvent.Disconnected lost) return (null, lost.Reason);
            }
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            // Told below.
        }
        return (null, $"{port.Name} said nothing within {Patience.TotalSeconds:0} s. Check that the rig is powered, the port and the baud rate.");
    }

    public static IEnumerable<Finding> Of((RigIdentity? Rig, string? Fault) answer, string port)
    {
        if (answer.Rig is { } rig) yield return Finding.Good(Topic, $"{rig.Board} {rig.SerialNumber}, {rig.Firmware}, answers on {port}; {rig.Sockets} {(rig.Sockets == 1 ? "socket" : "sockets")}, drive up to {rig.HardLimits.DriveCeiling}");
        else yield return NoAnswer(answer.Fault!);
    }

    /// <summary>What the running service says of one of its rigs.</summary>
    /// <param name="alone">It has no other; otherwise each finding says of which it speaks.</param>
    public static IEnumerable<Finding> Of(ServiceChecks.RigAnswer answer, bool alone, DateTimeOffset now)
    {
        var findings = answer.Bench is { } bench ? Of(bench, now) : [NoAnswer(answer.Fault!)];
        return alone ? findings : findings.Select(f => f with { Found = $"{answer.Name}: {f.Found}", Remedy = f.Remedy?.Replace("sweeprig acknowledge", $"sweeprig acknowledge --rig {answer.Name}", StringComparison.Ordinal).Replace("sweeprig calibrate", $"sweeprig calibrate --rig {answer.Name}", StringComparison.Ordinal) });
    }

    private static IEnumerable<Finding> Of(BenchView bench, DateTimeOffset now)
    {
        if (bench.Rig is { } rig)
        {
            yield return Finding.Good(Topic, $"{rig.Board} {rig.SerialNumber}, {rig.Firmware}, is connected; {rig.Sockets} {(rig.Sockets == 1 ? "socket" : "sockets")}, drive up to {rig.DriveCeiling:0.#} V");
            if (bench.DamagedFrames + bench.LostFrames > 0)
                yield return Finding.Look(Topic, $"{bench.DamagedFrames} damaged and {bench.LostFrames} lost frames since it was connected", "A few an hour do no harm: what is lost is measured again. More point to cable, ground or baud rate.");
            yield return Of(rig.Calibration, rig.SerialNumber, now);
        }
        else
        {
            yield return bench.LinkFault is { } fault ? NoAnswer(fault) : Finding.Look(Topic, $"{bench.RigName} is not connected yet", "Ask again in a few seconds.");
        }
        if (bench.Trip is { } trip)
            yield return Finding.Look(Topic, $"tripped: {trip.Title} ({trip.Measured}; {trip.Limit})", trip.CauseGone ? $"{trip.Remedy} Then sweeprig acknowledge." : trip.Remedy);
    }

    public static Finding Of(CalibrationView calibration, string rig, DateTimeOffset now) => calibration.State switch
    {
        "nominal" => Finding.Look(Calibration, $"rig {rig} works on nominal values", "Compare it with a meter: sweeprig calibrate. Until then every figure says so."),
        "stale" => Finding.Look(Calibration, $"{calibration.Id} of rig {rig} is stale since {Day(calibration.ValidUntilUtc)}", "Make a new one: sweeprig calibrate."),
        _ when DateTimeOffset.TryParse(calibration.ValidUntilUtc, null, out var until) && until - now < Soon => Finding.Look(
            Calibration, $"{calibration.Id} of rig {rig} holds only until {Day(calibration.ValidUntilUtc)}", "Make a new one soon: sweeprig calibrate."),
        _ => Finding.Good(Calibration, $"{calibration.Id} of rig {rig}, made {Day(calibration.MadeUtc)}, holds until {Day(calibration.ValidUntilUtc)}"),
    };

    // What is wrong with a link comes as sentences, what to do last.
    private static Finding NoAnswer(string fault)
    {
        var cut = fault.TrimEnd('.').LastIndexOf(". ", StringComparison.Ordinal);
        return cut < 0 ? Finding.Bad(Topic, fault.TrimEnd('.'), "Check power, cable and port.") : Finding.Bad(Topic, fault[..cut], fault[(cut + 2)..]);
    }

    private static string Day(string? utc) => utc is { Length: >= 10 } ? utc[..10] : "?";
}
