using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using Polly;
using Polly.Retry;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Host;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link;

/// <summary>
/// A rig behind a port that speaks the rig link, across reconnects. Start it once; its owner task opens the port, shakes hands and, when the link is
/// lost, tries again after 0.25, 0.5, 1, 2, 4 and then every 5 s. A fault that trying again cannot mend (another protocol version, a rig that
/// contradicts itself) is told once with <c>Retrying</c> false and looked at again every 30 s, as the rig may have been exchanged.
/// </summary>
public sealed class LinkRig : IRig, IBeats
{
    public static readonly TimeSpan FirstRetry = TimeSpan.FromMilliseconds(250);
    public static readonly TimeSpan LongestRetry = TimeSpan.FromSeconds(5);
    public static readonly TimeSpan HopelessRetry = TimeSpan.FromSeconds(30);

    private readonly IRigPort port;
    private readonly TimeProvider time;
    private readonly ILogger<LinkRig> logger;
    private readonly IRigGate? gate;
    private readonly LinkMemory memory = new();
    private readonly CancellationTokenSource disposing = new();
    private readonly ResiliencePipeline<LinkSession?> retries;
    private Task? owner;
    private volatile LinkSession? session;
    private string toldReason = "";
    private bool hopeless;

    /// <param name="gate">Decides which rig may be there; null lets any in.</param>
    public LinkRig(IRigPort port, TimeProvider time, ILogger<LinkRig> logger, IRigGate? gate = null)
    {
        (this.port, this.time, this.logger, this.gate) = (port, time, logger, gate);
        retries = new ResiliencePipelineBuilder<LinkSession?> { TimeProvider = time }
            .AddRetry(new RetryStrategyOptions<LinkSession?>
            {
                ShouldHandle = static outcome => ValueTask.FromResult(outcome.Outcome is { Exception: null, Result: null }),
                MaxRetryAttempts = int.MaxValue,
                DelayGenerator = arguments => ValueTask.FromResult<TimeSpan?>(hopeless ? HopelessRetry : DelayAfter(arguments.AttemptNumber)),
            })
            .Build();
    }

    /// <inheritdoc/>
    public string Name => session?.Identity is { } rig ? $"{rig.Board} {rig.SerialNumber} on {port.Name}" : $"rig on {port.Name}";

    /// <inheritdoc/>
    public RigIdentity? Identity => session?.Identity;

    /// <inheritdoc/>
    public ChannelReader<RigEvent> Events => memory.Events;

    /// <summary>Wait after the n-th attempt in a row (from 0) that failed.</summary>
    public static TimeSpan DelayAfter(int attempt)
    {
        var doubled = FirstRetry * Math.Pow(2, Math.Min(attempt, 16));
        return doubled < LongestRetry ? doubled : LongestRetry;
    }

    /// <inheritdoc/>
    public void Start()
    {
        if (owner is not null) throw new InvalidOperationException("SweepRig bug: the rig was started twice.");
        owner = Task.Run(OwnAsync);
    }

    /// <inheritdoc/>
    public Task<RigReply> SetLimitsAsync(RigLimits limits, CancellationToken cancellationToken) =>
        PostAsync(new("the limits", _ => Limits(limits)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> SetSuppliesAsync(SupplySetting setting, CancellationToken cancellationToken) =>
        PostAsync(new("the supply setting", session => Supplies(setting, session)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> RunAsync(RigProgram program, CancellationToken cancellationToken) =>
        PostAsync(new("the program", session => (ProgramFrames.TryLay(session.NextProgram(), program, session.SegmentCapacity, session.Identity!.Drive, out var refusal), refusal)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> MakeSafeAsync(CancellationToken cancellationToken) =>
        PostAsync(new("the order to be safe", _ => (new Exchange("the order to be safe") { GoesAhead = true }.Add(new Safe()), null)), cancellationToken, goesAhead: true);

    /// <inheritdoc/>
    public Task<RigReply> StopAsync(CancellationToken cancellationToken) =>
        PostAsync(new("the stop", _ => (new Exchange("the stop").Add(new Stop()), null)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> ReleaseAsync(CancellationToken cancellationToken) =>
        PostAsync(new("the release", session => (new Exchange("the release").Add(new Release(session.Latch)), null)), cancellationToken);

    /// <inheritdoc/>
    public Task BeatAsync(CancellationToken cancellationToken)
    {
        if (owner is { IsCompleted: true }) throw new InvalidOperationException($"SweepRig bug: the owner task of {port.Name} has ended.");
        // Between two connections the task waits to try again, and owns nothing.
        return session is { } live ? live.Post(new("a beat", _ => (null, RigReply.Done))).WaitAsync(cancellationToken) : Task.CompletedTask;
    }

    /// <summary>Ends a running program, switches the supplies off and closes the port.</summary>
    public async ValueTask DisposeAsync()
    {
        if (disposing.IsCancellationRequested) return;
        await disposing.CancelAsync().ConfigureAwait(false);
        session?.Close();
        if (owner is not null) await owner.ConfigureAwait(false);
        memory.Close();
        disposing.Dispose();
    }

    private static (Exchange?, RigReply?) Limits(RigLimits limits)
    {
        var values = LimitValues.Of(limits);
        var message = new Limits(values, LimitSeal.Of(values));
        var fields = LinkMessages.Limits.Fields;
        if (!double.IsFinite(limits.PositiveSecondsPerMinute))
            return (null, new(false, "out-of-range", $"A time above 0 V of {limits.PositiveSecondsPerMinute} s per minute is no number; allowed is 0 to 60 s."));
        ReadOnlySpan<long> numbers =
        [
            values.DriveFloorMicrovolts, values.DriveCeilingMicrovolts, values.GridCurrentNanoamps, values.CathodeCurrentNanoamps,
            values.SupplyMinMicrovolts, values.SupplyMaxMicrovolts, values.PositiveMillisecondsPerMinute,
        ];
        for (var i = 0; i < numbers.Length; i++)
            if (!fields[i].Allows(numbers[i])) return (null, Refusals.Field(LinkMessages.Limits, fields[i], numbers[i], null));
        return (new Exchange("the limits").Add(message), null);
    }

    private static (Exchange?, RigReply?) Supplies(SupplySetting setting, LinkSession session)
    {
        var fields = LinkMessages.Supplies.Fields;
        ReadOnlySpan<double> volts = [setting.HeaterVolts, setting.PlateRailVolts];
        for (var i = 0; i < volts.Length; i++)
        {
            if (!double.IsFinite(volts[i]))
                return (null, new(false, "out-of-range", $"A {LinkFigures.Words(fields[2 + i])} of {volts[i]} V is no number; allowed is 0 to 60 V."));
            var microvolts = (long)Math.Clamp(Math.Round(volts[i] * 1e6), -1e15, 1e15);
            if (!fields[2 + i].Allows(microvolts)) return (null, Refusals.Field(LinkMessages.Supplies, fields[2 + i], microvolts, null));
        }
        if (!fields[1].Allows(setting.Socket)) return (null, Refusals.Field(LinkMessages.Supplies, fields[1], setting.Socket, null));
        session.UseSocket(setting.Socket);
        var switches = (setting.Heater ? SupplySwitches.Heater : 0) | (setting.PlateRail ? SupplySwitches.PlateRail : 0);
        return (new Exchange("the supply setting").Add(new Messages.Supplies(
            switches, (byte)setting.Socket, (uint)Math.Round(setting.HeaterVolts * 1e6), (uint)Math.Round(setting.PlateRailVolts * 1e6))), null);
    }

    private Task<RigReply> PostAsync(Command command, CancellationToken cancellationToken, bool goesAhead = false)
    {
        var reply = session is { } live ? live.Post(command, goesAhead) : Task.FromResult(Refusals.NotConnected(port.Name));
        return cancellationToken.CanBeCanceled ? reply.WaitAsync(cancellationToken) : reply;
    }

    private async Task OwnAsync()
    {
        try
        {
            // Each run of the pipeline ends with a connection that had come about and then was lost; the waits begin anew after it.
            while (true)
            {
                hopeless = false;
                await retries.ExecuteAsync(static async (rig, cancellation) => await rig.ConnectOnceAsync(cancellation).ConfigureAwait(false), this, disposing.Token).ConfigureAwait(false);
                await Task.Delay(FirstRetry, time, disposing.Token).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (disposing.IsCancellationRequested)
        {
            logger.LogDebug("The owner task of {Port} has ended.", port.Name);
        }
    }

    /// <returns>The session that ran and ended, or null if none came about.</returns>
    private async Task<LinkSession?> ConnectOnceAsync(CancellationToken cancellationToken)
    {
        Stream stream;
        try
        {
            stream = await port.OpenAsync(cancellationToken).ConfigureAwait(false);
        }
        catch (Exception e) when (ReadPump.IsPortFault(e))
        {
            Tell(new(e.Message, true), wasConnected: false);
            return null;
        }
        var live = new LinkSession(stream, port.Name, time, logger, memory, gate);
        session = live;
        if (disposing.IsCancellationRequested) live.Close();
        SessionEnd ended;
        try
        {
            ended = await live.RunAsync().ConfigureAwait(false);
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            logger.LogError(LogEvents.OwnerFailed, e, "The owner task of {Port} failed.", port.Name);
            ended = new($"SweepRig bug: the owner task of {port.Name} failed ({e.Message}). The rig makes itself safe within its lease; please report this.", true);
        }
        session = null;
        gate?.Left();
        cancellationToken.ThrowIfCancellationRequested();
        Tell(ended, live.WasConnected);
        return live.WasConnected && ended.Retrying ? live : null;
    }

    /// <summary>The same reason is told once, however often the attempt is repeated.</summary>
    private void Tell(SessionEnd ended, bool wasConnected)
    {
        hopeless = !ended.Retrying;
        if (!wasConnected && ended.Reason == toldReason) return;
        toldReason = ended.Reason;
        logger.LogWarning(LogEvents.PortLost, "{Reason}", ended.Reason);
        memory.Tell(new RigEvent.Disconnected(time.GetTimestamp(), ended.Reason, ended.Retrying));
    }
}
