using System.Text.Json;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Records;

/// <summary>Reads on in the journal of a simulated rig: keeps the sum of it, and writes each entry to a file as a line of JSON if there is one.</summary>
public sealed class RigRecord(RigJournal journal, TextWriter? lines)
{
    private readonly List<RecordedTrip> _trips = [];
    private long _next;
    private long _missed;
    private double? _highestDrive;
    private int _programs;

    /// <summary>Takes in what is new. Call from one task, often enough that the journal does not run over.</summary>
    public void ReadOn()
    {
        var (first, entries) = journal.From(_next);
        _missed += first - _next;
        _next = first + entries.Count;
        foreach (var entry in entries) Take(entry);
        lines?.Flush();
    }

    public RigSummary Summary() => new(journal.IsSafe, journal.HeaterOn, _highestDrive, _programs, [.. _trips], _next, _missed);

    private void Take(in JournalEntry entry)
    {
        switch (entry.Kind)
        {
            case JournalKind.DriveWritten:
                _highestDrive = _highestDrive is { } highest ? Math.Max(highest, entry.Value) : entry.Value;
                break;
            case JournalKind.ProgramStarted:
                _programs++;
                break;
            case JournalKind.Tripped when entry.Cause is { } cause and not TripCause.PowerUp:
                _trips.Add(new(entry.AtMicroseconds * 1e-6, BenchViews.Word(cause), TripGuide.For(cause).Title));
                break;
            default:
                break;
        }
        lines?.WriteLine(JsonSerializer.Serialize(new Line(entry.AtMicroseconds, BenchViews.Word(entry.Kind), entry.Code, entry.Value, entry.Cause is { } c ? BenchViews.Word(c) : null), JsonSerializerOptions.Web));
    }

    private sealed record Line(long AtMicroseconds, string Kind, int Code, double Value, string? Cause);
}

/// <summary>What a simulated rig did, by its own record.</summary>
/// <param name="EndedSafe">Grid at the most negative bias and plate rail off at the end.</param>
/// <param name="HighestDriveVolts">Highest drive ever written, nominal; null when none was.</param>
/// <param name="Programs">Passes begun.</param>
/// <param name="Trips">In order; the latch that a rig starts with is none.</param>
/// <param name="Entries">Of the journal.</param>
/// <param name="MissedEntries">Entries that were overwritten before they were read; 0 unless the machine is far too busy.</param>
public sealed record RigSummary(bool EndedSafe, bool HeaterOn, double? HighestDriveVolts, int Programs, RecordedTrip[] Trips, long Entries, long MissedEntries);

public sealed record RecordedTrip(double AtSeconds, string Cause, string Title);
