using SweepRig.EndToEnd.Tests.Emulated.Board;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Avr;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Timing;

/// <summary>
/// Host and board in one thread and in emulated time alone: the same messages give the same cycles. The host renews the lease every 70 ms, as the
/// service does, until told not to.
/// </summary>
internal sealed class BoardHost : IDisposable
{
    public const ushort Session = 4711;

    private const long SliceCycles = 1600;

    private readonly FrameReader _reader = new();
    private readonly List<HeardFrame> _frames = [];
    private readonly long _renewCycles;
    private long _renewAt = long.MaxValue;
    private byte _sequence;

    public BoardHost()
    {
        Board = new(IntelHex.Read(FirmwareBuild.AvrHex), new(RigOnBench.Quiet));
        _renewCycles = (long)LinkProtocol.RenewPeriod.TotalMicroseconds * Board.Machine.CyclesPerMicrosecond;
    }

    public AtmegaBoard Board { get; }

    public long Cycle => Board.Machine.Cycle;

    public bool Renews { get; set; } = true;

    /// <summary>All frames heard.</summary>
    public IReadOnlyList<HeardFrame> Frames => _frames;

    /// <summary>Bench time of the first entry of the journal, from a bench time on, that meets a condition.</summary>
    public long At(long from, Func<JournalEntry, bool> condition) =>
        Board.Circuit.Journal.Snapshot().First(e => e.AtMicroseconds >= from && condition(e)).AtMicroseconds;

    /// <summary>Session open, latch clear, heater on, plate rail up.</summary>
    public void GetReady(RigWiring wiring)
    {
        Board.Circuit.Wire(Board.Now, wiring);
        // The first bytes may come while the firmware is still starting.
        Run(20);
        Do(new Hello(Session));
        _renewAt = Cycle + _renewCycles;
        Do(new Release(Status().Latch));
        Do(Passes.Rail(on: true));
        Run(100);
    }

    public Status Status()
    {
        var mark = _frames.Count;
        Do(new AskStatus());
        return _frames.Skip(mark).Select(f => f.TryAs<Status>(out var status) ? status : (Status?)null).First(s => s is not null)!.Value;
    }

    /// <summary>Sends a request and runs until it is acknowledged.</summary>
    public void Do<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var sequence = _sequence++;
        var mark = _frames.Count;
        Send(message, sequence);
        RunUntil(() => _frames.Skip(mark).Any(f => f.TryAs<Ack>(out var ack) && ack.Request == sequence && ack.RequestType == T.Declaration.Number
            || (f.TryAs<Nack>(out var nack) && nack.Request == sequence ? throw new InvalidOperationException($"The firmware refused {T.Declaration.Name}: {nack}") : false)),
            100, $"the answer to {T.Declaration.Name}");
    }

    public void Send<T>(T message, byte sequence)
        where T : struct, ILinkMessage<T>
    {
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        foreach (var value in wire[..FrameWriter.Write(message, sequence, wire)]) Board.Usart.Send(value);
    }

    public void Run(double milliseconds) => RunTo(Cycle + (long)(milliseconds * 1000 * Board.Machine.CyclesPerMicrosecond));

    /// <summary>Runs until a condition holds, looked at every 100 us; the journal of the circuit has the exact times.</summary>
    /// <exception cref="TimeoutException">It does not hold within so many emulated milliseconds.</exception>
    public void RunUntil(Func<bool> condition, double milliseconds, string what)
    {
        var end = Cycle + (long)(milliseconds * 1000 * Board.Machine.CyclesPerMicrosecond);
        while (!condition())
        {
            if (Cycle >= end) throw new TimeoutException($"Waited {milliseconds} emulated ms in vain for {what}.");
            RunTo(Cycle + SliceCycles);
        }
    }

    public void Dispose() => Board.Dispose();

    private void RunTo(long cycle)
    {
        while (Cycle < cycle)
        {
            if (Cycle >= _renewAt)
            {
                _renewAt += _renewCycles;
                if (Renews) Send(new Renew(Session), 0);
            }
            Board.RunTo(Math.Min(cycle, Math.Max(_renewAt, Cycle + 1)));
            Take(Board.TakeSent());
        }
    }

    private void Take(ReadOnlySpan<byte> bytes)
    {
        while (_reader.Next(ref bytes, out var frame) is var result and not ReadResult.NeedMore)
            if (result == ReadResult.Frame) _frames.Add(new(frame.Bytes.ToArray(), Cycle));
            else throw new InvalidOperationException($"The firmware sent a damaged frame: {_reader.DamagedHex}");
    }
}
