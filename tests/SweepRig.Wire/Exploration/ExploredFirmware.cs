using System.Runtime.InteropServices;

namespace SweepRig.Wire.Exploration;

/// <summary>What stands around the rig, as <c>boards/explored/explored.h</c> has it.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct Surroundings
{
    public ushort Plate, Grid, Screen, Supply, ReadBack;
    public byte Follows;
    public byte Stop;
}

/// <summary>What is seen of the rig from outside, as <c>boards/explored/explored.h</c> has it.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct Seen
{
    public int DriveMicrovolts, CeilingMicrovolts, SafeMicrovolts;
    public byte Switches, Running, Latched, Cause, Present;
}

/// <summary>The firmware's core in this process. Its whole state can be taken out and put back. For one thread.</summary>
internal sealed unsafe class ExploredFirmware : IDisposable
{
    private readonly nint _library;
    private readonly delegate* unmanaged<byte, Surroundings*, void> _reset;
    private readonly delegate* unmanaged<byte*, void> _load;
    private readonly delegate* unmanaged<byte*, byte*, short*, byte*, void> _save;
    private readonly delegate* unmanaged<byte*, void> _copy;
    private readonly delegate* unmanaged<Surroundings*, byte*, uint, uint> _surround;
    private readonly delegate* unmanaged<byte*, uint, byte*, uint, uint> _hear;
    private readonly delegate* unmanaged<uint, byte*, uint, uint> _wait;
    private readonly delegate* unmanaged<Seen*, void> _look;
    private readonly byte[] _sent = new byte[8192];

    public ExploredFirmware(string path)
    {
        _library = NativeLibrary.Load(path);
        _reset = (delegate* unmanaged<byte, Surroundings*, void>)Export("reset");
        _load = (delegate* unmanaged<byte*, void>)Export("load");
        _save = (delegate* unmanaged<byte*, byte*, short*, byte*, void>)Export("save");
        _copy = (delegate* unmanaged<byte*, void>)Export("copy");
        _surround = (delegate* unmanaged<Surroundings*, byte*, uint, uint>)Export("surround");
        _hear = (delegate* unmanaged<byte*, uint, byte*, uint, uint>)Export("hear");
        _wait = (delegate* unmanaged<uint, byte*, uint, uint>)Export("wait");
        _look = (delegate* unmanaged<Seen*, void>)Export("look");
        Size = (int)((delegate* unmanaged<uint>)Export("size"))();
    }

    /// <summary>Bytes of the state.</summary>
    public int Size { get; }

    public void Reset(byte reason, Surroundings around) => _reset(reason, &around);

    public void Load(ReadOnlySpan<byte> state)
    {
        fixed (byte* at = state) _load(at);
    }

    /// <summary>Takes the state out, in its fixed form.</summary>
    /// <returns>How its numbers have been changed for that.</returns>
    public Recount Save(Span<byte> state)
    {
        byte sequence, session;
        short firings;
        fixed (byte* at = state) _save(at, &sequence, &firings, &session);
        return new(sequence, firings, session == 2);
    }

    /// <summary>Takes the state out as it is, with its own times and numbers.</summary>
    public void Copy(Span<byte> state)
    {
        fixed (byte* at = state) _copy(at);
    }

    /// <returns>What the rig sent meanwhile; valid until the next call.</returns>
    public ReadOnlySpan<byte> Surround(Surroundings around)
    {
        fixed (byte* sent = _sent) return Sent(_surround(&around, sent, (uint)_sent.Length));
    }

    /// <inheritdoc cref="Surround"/>
    public ReadOnlySpan<byte> Hear(ReadOnlySpan<byte> bytes)
    {
        fixed (byte* heard = bytes)
        fixed (byte* sent = _sent) return Sent(_hear(heard, (uint)bytes.Length, sent, (uint)_sent.Length));
    }

    /// <inheritdoc cref="Surround"/>
    public ReadOnlySpan<byte> Wait(uint microseconds)
    {
        fixed (byte* sent = _sent) return Sent(_wait(microseconds, sent, (uint)_sent.Length));
    }

    public Seen Look()
    {
        Seen seen;
        _look(&seen);
        return seen;
    }

    public void Dispose() => NativeLibrary.Free(_library);

    private ReadOnlySpan<byte> Sent(uint count) =>
        count < _sent.Length ? _sent.AsSpan(0, (int)count) : throw new InvalidOperationException("The rig sent more than there is room for.");

    private nint Export(string name) => NativeLibrary.GetExport(_library, "explored_" + name);
}
