using System.Collections.Concurrent;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Bus;

/// <summary>
/// A rig without a microcontroller, on the I2C and SPI of the computer that runs this program. Its owner task steps, converts and checks by itself, an
/// order to be safe waits for one conversion at most. A chip that does not answer ends the connection: drive to safe first, all switches off, then it is tried again
/// after 0.25, 0.5, 1, 2, 4 and then every 5 s.
/// </summary>
/// <remarks>
/// Nothing outside this process watches over it. If the process is killed or the kernel hangs, the DAC keeps its last code and the switches stay; that
/// is why <see cref="BusConfig.HardLimits"/> ends at 0 V unless hardware clamps the drive.
/// </remarks>
public sealed class BusRig : IRig, IBeats
{
    /// <summary>A name for what has no firmware.</summary>
    public const string Firmware = "none (direct bus)";
    public const string Board = "direct bus";

    private readonly BusConfig _config;
    private readonly IBusPort _port;
    private readonly TimeProvider _time;
    private readonly ILogger<BusRig> _logger;
    private readonly Channel<RigEvent> _events = Channel.CreateUnbounded<RigEvent>(new() { SingleReader = true, SingleWriter = true });
    private readonly Channel<BusCommand?> _inbox = Channel.CreateUnbounded<BusCommand?>(new() { SingleReader = true });
    private readonly ConcurrentQueue<BusCommand> _urgent = new();
    private readonly CancellationTokenSource _disposing = new();
    private readonly ITimer _timer;
    private readonly long _origin;
    private Task? _owner;
    private volatile RigIdentity? _identity;
    private long _handshakes;
    private string _toldReason = "";

    public BusRig(BusConfig config, IBusPort port, TimeProvider time, ILogger<BusRig> logger)
    {
        (_config, _port, _time, _logger) = (config, port, time, logger);
        _origin = time.GetTimestamp();
        _timer = time.CreateTimer(_ => Wake(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
    }

    /// <inheritdoc/>
    public string Name => $"{Board} {_config.SerialNumber} on {_port.Name}";

    /// <inheritdoc/>
    public RigIdentity? Identity => _identity;

    /// <inheritdoc/>
    public ChannelReader<RigEvent> Events => _events.Reader;

    /// <inheritdoc/>
    public void Start()
    {
        if (_owner is not null) throw new InvalidOperationException("SweepRig bug: the rig was started twice.");
        _owner = Task.Run(OwnAsync);
    }

    /// <inheritdoc/>
    public Task<RigReply> SetLimitsAsync(RigLimits limits, CancellationToken cancellationToken) =>
        PostAsync(new("the limits", session => new(session.SetLimits(limits))), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> SetSuppliesAsync(SupplySetting setting, CancellationToken cancellationToken) =>
        PostAsync(new("the supply setting", session => session.SetSuppliesAsync(setting)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> RunAsync(RigProgram program, CancellationToken cancellationToken) =>
        PostAsync(new("the program", session => session.RunAsync(program)), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> MakeSafeAsync(CancellationToken cancellationToken)
    {
        var order = new BusCommand("the order to be safe", session => new(session.MakeSafe()));
        if (_identity is null) return Task.FromResult(BusRefusals.NotConnected(_port.Name));
        _urgent.Enqueue(order);
        Wake();
        // The session may have ended between the question and the queue.
        if (_identity is null) Refuse();
        return cancellationToken.CanBeCanceled ? order.Reply.WaitAsync(cancellationToken) : order.Reply;
    }

    /// <inheritdoc/>
    public Task<RigReply> StopAsync(CancellationToken cancellationToken) =>
        PostAsync(new("the stop", session => new(session.Stop())), cancellationToken);

    /// <inheritdoc/>
    public Task<RigReply> ReleaseAsync(CancellationToken cancellationToken) =>
        PostAsync(new("the release", session => new(session.Release())), cancellationToken);

    /// <inheritdoc/>
    public Task BeatAsync(CancellationToken cancellationToken)
    {
        if (_owner is { IsCompleted: true }) throw new InvalidOperationException($"SweepRig bug: the owner task of {Name} has ended.");
        return PostAsync(new("a beat", _ => new(RigReply.Done)), cancellationToken);
    }

    /// <summary>Drive to safe, all switches off, buses closed.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_disposing.IsCancellationRequested) return;
        await _disposing.CancelAsync().ConfigureAwait(false);
        Wake();
        if (_owner is not null) await _owner.ConfigureAwait(false);
        _inbox.Writer.TryComplete();
        Refuse();
        _events.Writer.TryComplete();
        await _timer.DisposeAsync().ConfigureAwait(false);
        _disposing.Dispose();
    }

    private Task<RigReply> PostAsync(BusCommand command, CancellationToken cancellationToken)
    {
        if (_identity is null || !_inbox.Writer.TryWrite(command)) return Task.FromResult(BusRefusals.NotConnected(_port.Name));
        return cancellationToken.CanBeCanceled ? command.Reply.WaitAsync(cancellationToken) : command.Reply;
    }

    private async Task OwnAsync()
    {
        for (var attempt = 0; !_disposing.IsCancellationRequested; attempt++)
        {
            if (await ConnectOnceAsync().ConfigureAwait(false)) attempt = 0;
            await WaitUntilAsync(Now() + (long)LinkRig.DelayAfter(attempt).TotalMicroseconds).ConfigureAwait(false);
            // A command that came between the end of a session and this must not run in the next one.
            Refuse();
        }
    }

    /// <returns>True if a connection came about.</returns>
    private async Task<bool> ConnectOnceAsync()
    {
        BusWires wires;
        try
        {
            wires = _port.Open();
        }
        catch (RigPortException fault)
        {
            Tell(fault.Message, wasConnected: false);
            return false;
        }
        using (wires)
        {
            BusHardware hardware;
            try
            {
                hardware = BusHardware.Open(_config, wires, _time);
            }
            catch (IOException fault)
            {
                Tell($"{fault.Message} It is tried again by itself; until then nothing is switched on.", wasConnected: false);
                return false;
            }
            await ServeAsync(hardware).ConfigureAwait(false);
            return true;
        }
    }

    private async Task ServeAsync(BusHardware hardware)
    {
        string reason;
        try
        {
            var session = new BusSession(_config, hardware, _time, Now, happened => _events.Writer.TryWrite(happened), () => !_urgent.IsEmpty);
            session.LookAround();
            _identity = Introduce();
            _events.Writer.TryWrite(new RigEvent.Connected(_time.GetTimestamp(), _identity));
            if (++_handshakes > 1) _events.Writer.TryWrite(new RigEvent.LinkHealth(_time.GetTimestamp(), new(0, 0, 0, 0, _handshakes - 1)));
            await LoopAsync(session).ConfigureAwait(false);
            reason = "";
            var left = hardware.GiveUp();
            if (left.Count > 0) _logger.LogError(LogEvents.SuppliesLeftOn, "While closing {Rig}: {Left}. Switch the supplies off by hand now", Name, string.Join(", and ", left));
        }
        catch (Exception fault) when (fault is not OutOfMemoryException)
        {
            // Safe first, words later.
            var left = hardware.GiveUp();
            var isBus = fault is IOException or TimeoutException;
            if (!isBus) _logger.LogError(LogEvents.OwnerFailed, fault, "The owner task of {Rig} failed", Name);
            reason = $"{(isBus ? fault.Message : $"SweepRig bug: the owner task of {Name} failed ({fault.Message}). Please report this.")} " +
                (left.Count == 0 ? "The drive is at its safe code, plate rail and heater are off." : $"Danger: {string.Join(", and ", left)}. Switch the supplies off by hand now.");
        }
        _identity = null;
        Refuse();
        if (reason.Length > 0) Tell(reason, wasConnected: true);
    }

    private async Task LoopAsync(BusSession session)
    {
        while (!_disposing.IsCancellationRequested)
        {
            if (_urgent.TryDequeue(out var urgent)) await urgent.RunAsync(session).ConfigureAwait(false);
            else if (_inbox.Reader.TryRead(out var command) && command is not null) await command.RunAsync(session).ConfigureAwait(false);
            else if (session.NextDue <= Now()) session.Act();
            else await WaitUntilAsync(session.NextDue).ConfigureAwait(false);
        }
    }

    /// <summary>Waits for a time of the rig's clock, a command, or the end.</summary>
    private async Task WaitUntilAsync(long due)
    {
        var wait = due - Now();
        if (wait <= 0 || _disposing.IsCancellationRequested) return;
        _timer.Change(TimeSpan.FromMicroseconds(wait), Timeout.InfiniteTimeSpan);
        await _inbox.Reader.WaitToReadAsync(CancellationToken.None).ConfigureAwait(false);
        if (_inbox.Reader.TryPeek(out var next) && next is null) _inbox.Reader.TryRead(out _);
    }

    private void Wake() => _inbox.Writer.TryWrite(null);

    private void Refuse()
    {
        var no = BusRefusals.NotConnected(_port.Name);
        while (_urgent.TryDequeue(out var urgent)) urgent.Refuse(no);
        while (_inbox.Reader.TryRead(out var command)) command?.Refuse(no);
    }

    private long Now() => (long)_time.GetElapsedTime(_origin).TotalMicroseconds;

    private RigIdentity Introduce() => new(
        ProtocolVersion: 0, Firmware, Board, _config.SerialNumber, _config.Switches.SocketPins.Count, Supplies.Heater | Supplies.PlateRail, _config.Drive.Scale,
        [.. _config.Channels.Select(c => c.Scale)], _config.HardLimits, LeaseMilliseconds: 0, _config.ConversionMicroseconds, ResetReason.PowerOn)
    {
        CeilingReason = _config.CeilingReason,
    };

    /// <summary>The same reason is told once, however often the attempt is repeated.</summary>
    private void Tell(string reason, bool wasConnected)
    {
        if (!wasConnected && reason == _toldReason) return;
        _toldReason = reason;
        _logger.LogWarning(LogEvents.PortLost, "{Reason}", reason);
        _events.Writer.TryWrite(new RigEvent.Disconnected(_time.GetTimestamp(), reason, Retrying: true));
    }
}
