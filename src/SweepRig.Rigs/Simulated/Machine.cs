using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated.Firmware;
using SweepRig.Rigs.Simulated.Physics;
using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated;

/// <summary>
/// Bench and microcontroller together, without threads or clocks: bytes and bench time in, bytes out. The same calls give the same bytes.
/// </summary>
internal sealed class Machine : IWire
{
    private readonly SimulatedRigOptions _options;
    private readonly Action<byte[]> _send;
    private readonly Action _forget;
    private readonly Bench _bench;
    private readonly WayOut _wayOut;
    private readonly HashSet<SimulatedFault.Restart> _restarted = new(ReferenceEqualityComparer.Instance);

    private Controller _controller;
    private Session _session;
    private FrameReader _reader = new();
    private ushort _boot;
    private long _restartAt;

    /// <param name="options">What it is made of.</param>
    /// <param name="journal">Its own record.</param>
    /// <param name="send">Takes each frame for the wire.</param>
    /// <param name="forget">Drops what has not gone out yet.</param>
    public Machine(SimulatedRigOptions options, RigJournal journal, Action<byte[]> send, Action forget)
    {
        _options = options;
        _send = send;
        _forget = forget;
        Journal = journal;
        _bench = new(options);
        _wayOut = new(options);
        (_controller, _session) = Boot(options.FirstReset);
        Inject(options.Faults);
    }

    public RigJournal Journal { get; }

    /// <summary>Bench time in microseconds since the rig was first switched on.</summary>
    public long Now { get; private set; }

    public bool IsRunning => _controller.IsRunning;

    /// <summary>How far bench time has run ahead of the host's.</summary>
    public long Ahead { get; private set; }

    public double CathodeKelvin => _bench.KelvinAt(Now);

    internal Controller Controller => _controller;

    internal Bench Bench => _bench;

    public long NextDue => Math.Min(Math.Min(_controller.NextDue, _session.NextDue), Math.Min(_restartAt, _wayOut.NextDue));

    public void Inject(IReadOnlyList<SimulatedFault> faults)
    {
        _bench.Faults = faults;
        _wayOut.Faults = faults;
        _restartAt = faults.OfType<SimulatedFault.Restart>().Where(f => !_restarted.Contains(f)).Select(f => Math.Max(Now, f.FromMicroseconds))
            .DefaultIfEmpty(long.MaxValue).Min();
    }

    /// <summary>Knocks on the bulb: <paramref name="count"/> times, the first after <paramref name="first"/>, then every so often. Bench time, microseconds.</summary>
    public void Tap(long first, long every, int count) => _bench.Tap(Enumerable.Range(0, count).Select(n => Now + first + n * every));

    /// <summary>Another tube in a socket, cold; null for none.</summary>
    public void Seat(int socket, Specimen? tube) => _bench.Seat(Now, socket, tube);

    /// <summary>Does everything that is due up to a time, in order.</summary>
    public void RunTo(long time)
    {
        for (var due = NextDue; due <= time; due = NextDue)
        {
            Now = Math.Max(Now, due);
            if (_restartAt <= Now) Restart();
            else if (_wayOut.NextDue <= Now) _wayOut.Release(Now, _send);
            else if (_controller.NextDue <= Now) _controller.Act(Now);
            else _session.Act(Now);
        }
        Now = Math.Max(Now, time);
    }

    /// <summary>Runs ahead of the host's time by so much; lease and status stay with the host's.</summary>
    public void RunAhead(long microseconds)
    {
        Ahead += microseconds;
        _controller.RunAhead(microseconds);
        RunTo(Now + microseconds);
    }

    /// <summary>Bytes from the host, at <see cref="Now"/>.</summary>
    public void Receive(ReadOnlySpan<byte> bytes)
    {
        while (true)
        {
            switch (_reader.Next(ref bytes, out var frame))
            {
                case ReadResult.Frame:
                    _session.Receive(Now, frame);
                    break;
                case ReadResult.NeedMore:
                    return;
                case ReadResult.Damaged:
                    break;
                default:
                    throw new InvalidOperationException("SweepRig bug: the frame reader has a new answer.");
            }
        }
    }

    /// <summary>Another host at the end of the line: what the last one left half sent is no frame of this one.</summary>
    public void Reconnected() => _reader = new();

    void IWire.Send(ReadOnlySpan<byte> frame, bool isAnswer) => _wayOut.Send(Now, frame, isAnswer, _send);

    void IWire.Forget()
    {
        _wayOut.Forget();
        _forget();
    }

    private void Restart()
    {
        var fault = _bench.Faults.OfType<SimulatedFault.Restart>().First(f => !_restarted.Contains(f) && f.FromMicroseconds <= Now);
        _restarted.Add(fault);
        (_controller, _session) = Boot(fault.Reason);
        _reader = new();
        Inject(_bench.Faults);
    }

    private (Controller Controller, Session Session) Boot(ResetReason reason)
    {
        Journal.Add(new(Now, JournalKind.Restarted, (int)reason), _options.Drive.ToCode(_options.HardLimits.DriveFloor));
        var controller = new Controller(_options, _bench, Journal, reason, Now);
        controller.RunAhead(Ahead);
        return (controller, new Session(_options, controller, this, ++_boot, reason, Now));
    }
}
