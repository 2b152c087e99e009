using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated.Physics;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>The only place that drives anything: DAC, heater, plate rail, socket relays. Every change goes into the journal.</summary>
internal sealed class Outputs
{
    private readonly Bench _bench;
    private readonly RigJournal _journal;
    private readonly DriveScale _scale;

    /// <summary>Writes the safe code before anything else, as the firmware does at reset, and switches both supplies off.</summary>
    public Outputs(Bench bench, RigJournal journal, DriveScale scale, int safeCode, long now)
    {
        _bench = bench;
        _journal = journal;
        _scale = scale;
        SafeCode = safeCode;
        WriteDrive(now, safeCode);
        SetPlateRail(now, false, 0);
        SetHeater(now, false, 0);
    }

    public int SafeCode { get; }
    public int DriveCode { get; private set; }
    public long DriveWrittenAt { get; private set; }
    public bool HeaterOn { get; private set; }
    public double HeaterVolts { get; private set; }
    public long HeaterOnSince { get; private set; }
    public bool PlateRailOn { get; private set; }
    public double PlateRailVolts { get; private set; }
    public int Socket { get; private set; }

    public bool AtSafe => DriveCode == SafeCode;

    public void WriteDrive(long now, int code)
    {
        DriveCode = code;
        DriveWrittenAt = now;
        _bench.WriteDrive(now, code);
        Note(now, JournalKind.DriveWritten, code, _scale.ToVolts(code));
    }

    public void SetHeater(long now, bool on, double volts)
    {
        if (on && !HeaterOn) HeaterOnSince = now;
        HeaterOn = on;
        HeaterVolts = on ? volts : 0;
        _bench.SwitchHeater(now, on, volts);
        Note(now, JournalKind.HeaterSet, on ? 1 : 0, HeaterVolts);
    }

    public void SetPlateRail(long now, bool on, double volts)
    {
        PlateRailOn = on;
        PlateRailVolts = on ? volts : 0;
        _bench.SwitchRail(now, on, volts);
        Note(now, JournalKind.PlateRailSet, on ? 1 : 0, PlateRailVolts);
    }

    public void Select(long now, int socket)
    {
        Socket = socket;
        _bench.SelectSocket(now, socket);
    }

    /// <summary>Drive to safe and plate rail off. The heater stays: a warm cathode behind a cut-off grid and a dead rail harms nothing.</summary>
    public void MakeSafe(long now)
    {
        if (!AtSafe) WriteDrive(now, SafeCode);
        if (PlateRailOn) SetPlateRail(now, false, 0);
        Note(now, JournalKind.MadeSafe, 0, 0);
    }

    public void Note(in JournalSample sample) => _journal.Add(sample);

    public void Note(long now, JournalKind kind, int code, double value, TripCause? cause = null) =>
        _journal.Add(new(now, kind, code, value, cause), SafeCode);
}
