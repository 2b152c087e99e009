using System.Runtime.InteropServices;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Host;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Wire.Exploration;

/// <summary>What the rig does with one thing that happens to it.</summary>
/// <param name="Rig">State afterwards.</param>
/// <param name="Now">How numbers are counted from now on.</param>
/// <param name="Said">What it sent, in order, so counted.</param>
internal readonly record struct RigMove(int Rig, Recount Now, int[] Said);

/// <summary>
/// The states of the firmware that have been met, each by a number, and what each does with each thing. The firmware itself is asked once for each pair; two states are
/// the same when every byte of them is.
/// </summary>
internal sealed partial class RigStates : IDisposable
{
    /// <summary>How long one step of time is: a third of the lease, nearly, so that a lease runs out in the fourth.</summary>
    public const uint StepMicroseconds = 100_000;

    private readonly ExploredFirmware _firmware;
    private readonly Dictionary<StateKey, int> _numbers = [];
    private readonly List<byte[]> _states = [];
    private readonly List<Seen> _seen = [];
    private readonly Dictionary<(int Rig, int What), RigMove> _moves = [];
    private readonly Numbers<BlockSummary> _blocks = new();
    private readonly Calibrator _calibrator;

    public RigStates(string library)
    {
        _firmware = new(library);
        Start = Reset(Around.Quiet, 0);
        Identity = Introduce();
        _calibrator = new(Identity, RigCalibration.Nominal(Identity), new(ConnectionKind.Pentode, new(28), new(-12), new(6.3), new Ohms(500), new Ohms(100), new Ohms(2000)));
    }

    public Numbers<HostWord> HostWords { get; } = new();

    public Numbers<RigWord> RigWords { get; } = new();

    /// <summary>The rig as the host's own handshake reads it.</summary>
    public RigIdentity Identity { get; }

    /// <summary>A rig that has just been switched on.</summary>
    public int Start { get; }

    public int Count => _states.Count;

    /// <summary>Pairs of state and event that the firmware was asked about.</summary>
    public int Asked => _moves.Count;

    public Seen Look(int rig) => _seen[rig];

    public BlockSummary Block(int number) => _blocks[number];

    public RigMove Wait(int rig) => Move(rig, -1);

    public RigMove Surround(int rig, Around around) => Move(rig, -10 - (int)around);

    public RigMove Hear(int rig, int word) => Move(rig, word);

    /// <param name="reason">As the link numbers it.</param>
    public RigMove Restart(Around around, byte reason) => new(Reset(around, reason), default, []);

    public void Dispose() => _firmware.Dispose();

    private int Reset(Around around, byte reason)
    {
        _firmware.Reset(reason, Surrounding.Of(around));
        return Keep(out _);
    }

    private RigMove Move(int rig, int what)
    {
        if (_moves.TryGetValue((rig, what), out var known)) return known;
        _firmware.Load(_states[rig]);
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        var sent = what switch
        {
            -1 => _firmware.Wait(StepMicroseconds),
            < 0 => _firmware.Surround(Surrounding.Of((Around)(-10 - what))),
            _ => _firmware.Hear(wire[..HostWords[what].Write(wire)]),
        };
        var said = Read(sent);
        var after = Keep(out var now);
        var move = new RigMove(after, now, [.. said.Select(w => RigWords.Of(w.Counted(now)))]);
        _moves.Add((rig, what), move);
        return move;
    }

    private int Keep(out Recount now)
    {
        var state = new byte[_firmware.Size];
        now = _firmware.Save(state);
        var key = new StateKey(state);
        ref var number = ref CollectionsMarshal.GetValueRefOrAddDefault(_numbers, key, out var known);
        if (known) return number;
        number = _states.Count;
        _states.Add(state);
        _seen.Add(_firmware.Look());
        return number;
    }

    private RigIdentity Introduce()
    {
        _firmware.Load(_states[Start]);
        Span<byte> wire = stackalloc byte[LinkProtocol.MaxWireBytes];
        var handshake = new Handshake(1);
        var input = _firmware.Hear(wire[..FrameWriter.Write(new Hello(1), 0, wire)]);
        var reader = new FrameReader();
        Step(reader);
        while (reader.Next(ref input, out var frame) == ReadResult.Frame)
            if (handshake.Take(frame) is { } fault) throw new InvalidOperationException($"The explored rig describes itself wrongly: {fault}");
        if (handshake.TryFinish(out var identity) is { } contradiction) throw new InvalidOperationException($"The explored rig contradicts itself: {contradiction}");
        return identity!;
    }

    private readonly struct StateKey(byte[] state) : IEquatable<StateKey>
    {
        private readonly byte[] _state = state;
        private readonly int _hash = Hash(state);

        public bool Equals(StateKey other) => _hash == other._hash && _state.AsSpan().SequenceEqual(other._state);

        public override bool Equals(object? other) => other is StateKey key && Equals(key);

        public override int GetHashCode() => _hash;

        private static int Hash(byte[] state)
        {
            var hash = new HashCode();
            hash.AddBytes(state);
            return hash.ToHashCode();
        }
    }
}
