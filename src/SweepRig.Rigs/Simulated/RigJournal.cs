using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Simulated;

public enum JournalKind
{
    /// <summary>A code was written to the DAC: <see cref="JournalEntry.Code"/>, nominal volts in <see cref="JournalEntry.Value"/>.</summary>
    DriveWritten,

    /// <summary>Heater set: 1 or 0 in <see cref="JournalEntry.Code"/>, volts in <see cref="JournalEntry.Value"/>.</summary>
    HeaterSet,

    /// <summary>Plate rail set: 1 or 0 in <see cref="JournalEntry.Code"/>, volts in <see cref="JournalEntry.Value"/>.</summary>
    PlateRailSet,

    /// <summary>The latch fired: <see cref="JournalEntry.Cause"/>, measured value in <see cref="JournalEntry.Value"/>.</summary>
    Tripped,

    /// <summary>Drive brought to safe and plate rail off, for whatever reason.</summary>
    MadeSafe,

    /// <summary>The latch was released.</summary>
    Released,

    /// <summary>The microcontroller started: reset reason in <see cref="JournalEntry.Code"/>.</summary>
    Restarted,

    /// <summary>A program began: its pass in <see cref="JournalEntry.Code"/>, points in <see cref="JournalEntry.Value"/>.</summary>
    ProgramStarted,

    /// <summary>A program ended: 1 if it ran to its end in <see cref="JournalEntry.Code"/>.</summary>
    ProgramEnded,
}

/// <param name="AtMicroseconds">Time since the simulated rig was first switched on; goes on through restarts.</param>
/// <param name="Kind">What happened.</param>
/// <param name="Code">See <see cref="JournalKind"/>.</param>
/// <param name="Value">See <see cref="JournalKind"/>.</param>
/// <param name="Cause">Of a trip.</param>
public readonly record struct JournalEntry(long AtMicroseconds, JournalKind Kind, int Code = 0, double Value = 0, TripCause? Cause = null);

/// <summary>A sample as the rig measured it, before any frame was made of it. Codes as on the link, one a channel; 0 where it was not measured.</summary>
/// <param name="Program">Number that the host gave the program.</param>
/// <param name="Point">Number of the point.</param>
/// <param name="AtMicroseconds">Rig clock at the end of the sample, since the rig's reset.</param>
/// <param name="Averaged">Conversions averaged.</param>
/// <param name="Spread">Largest minus smallest plate conversion.</param>
public readonly record struct JournalSample(
    int Program, int Point, long AtMicroseconds, int DriveCode, SampleFlags Flags, int Averaged, ushort Spread,
    ushort Plate, ushort Grid, ushort Screen, ushort Supply, ushort Drive);

/// <summary>
/// What the simulated rig did to its outputs, kept by itself beside the link, so that a test can show how it ended whatever the host believes.
/// Safe to read from any thread.
/// </summary>
/// <param name="capacity">Latest entries that it holds, 1 or more.</param>
public sealed class RigJournal(int capacity = RigJournal.UsualCapacity)
{
    public const int UsualCapacity = 65_536;

    // Taken for each entry by the rig's task and for each snapshot by a reader; nothing else is locked while it is held.
    private readonly Lock _lock = new();
    private readonly JournalEntry[] _ring = new JournalEntry[capacity];
    private List<JournalSample> _samples = [];
    private long _written;
    private TaskCompletionSource? _changed;
    private bool _driveSafe, _railOff = true, _heaterOn;

    /// <summary>Drive at the safe code and plate rail off.</summary>
    public bool IsSafe
    {
        get
        {
            lock (_lock) return _driveSafe && _railOff;
        }
    }

    public bool HeaterOn
    {
        get
        {
            lock (_lock) return _heaterOn;
        }
    }

    /// <summary>Entries written since the beginning, those no longer held included.</summary>
    public long Written
    {
        get
        {
            lock (_lock) return _written;
        }
    }

    /// <summary>The entries held, oldest first.</summary>
    public IReadOnlyList<JournalEntry> Snapshot()
    {
        lock (_lock)
        {
            var count = (int)Math.Min(_written, capacity);
            var entries = new JournalEntry[count];
            for (var i = 0; i < count; i++) entries[i] = _ring[(_written - count + i) % capacity];
            return entries;
        }
    }

    /// <summary>Every sample taken, in the order of the rig; empty unless <see cref="SimulatedRigOptions.KeepSamples"/>.</summary>
    public IReadOnlyList<JournalSample> Samples()
    {
        lock (_lock) return [.. _samples];
    }

    /// <summary>The same, and forgets them, so that a rig can be watched for a whole night.</summary>
    public IReadOnlyList<JournalSample> TakeSamples()
    {
        lock (_lock)
        {
            var taken = _samples;
            _samples = [];
            return taken;
        }
    }

    /// <summary>Waits until the entries held meet a condition, which they may do already.</summary>
    /// <exception cref="OperationCanceledException">The token was cancelled first.</exception>
    public async Task UntilAsync(Func<IReadOnlyList<JournalEntry>, bool> condition, CancellationToken cancellationToken)
    {
        while (true)
        {
            Task changed;
            lock (_lock) changed = (_changed ??= new(TaskCreationOptions.RunContinuationsAsynchronously)).Task;
            if (condition(Snapshot())) return;
            await changed.WaitAsync(cancellationToken).ConfigureAwait(false);
        }
    }

    /// <summary>The entries from a number on that are still held, oldest first, with the number of the first of them; entries are numbered from 0.</summary>
    public (long First, IReadOnlyList<JournalEntry> Entries) From(long number)
    {
        lock (_lock)
        {
            var first = Math.Clamp(number, Math.Max(0, _written - capacity), _written);
            var entries = new JournalEntry[_written - first];
            for (var i = 0; i < entries.Length; i++) entries[i] = _ring[(first + i) % capacity];
            return (first, entries);
        }
    }

    internal void Add(in JournalSample sample)
    {
        lock (_lock) _samples.Add(sample);
    }

    internal void Add(in JournalEntry entry, int safeCode)
    {
        lock (_lock)
        {
            _ring[_written++ % capacity] = entry;
            if (entry.Kind == JournalKind.DriveWritten) _driveSafe = entry.Code == safeCode;
            else if (entry.Kind == JournalKind.PlateRailSet) _railOff = entry.Code == 0;
            else if (entry.Kind == JournalKind.HeaterSet) _heaterOn = entry.Code != 0;
            _changed?.TrySetResult();
            _changed = null;
        }
    }
}
