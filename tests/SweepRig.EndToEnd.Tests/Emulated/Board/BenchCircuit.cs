using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Simulated.Physics;

namespace SweepRig.EndToEnd.Tests.Emulated.Board;

/// <summary>
/// The fixture with its tubes around a rig's pins, and a record of what was done to it. The supplies have fixed voltages and the socket is wired by
/// hand, as with the reference boards. For one thread but for <see cref="Journal"/>.
/// </summary>
internal sealed class BenchCircuit
{
    private readonly SimulatedRigOptions _options;
    private readonly Bench _bench;
    private long _latest;
    private int _code;
    private bool _heater, _rail;

    public BenchCircuit(SimulatedRigOptions options)
    {
        _options = options;
        _bench = new(options);
        SafeCode = options.Drive.ToCode(options.HardLimits.DriveFloor);
    }

    public RigJournal Journal { get; } = new();

    /// <summary>Code of the lowest drive; below it the grid is at least as safe.</summary>
    public int SafeCode { get; }

    public double HeaterVolts { get; set; } = 6.3;

    public double RailVolts { get; set; } = 28;

    public IReadOnlyList<SimulatedFault> Faults { get => _bench.Faults; set => _bench.Faults = value; }

    /// <summary>Latest bench time that anything happened at, in microseconds.</summary>
    public long Latest => _latest;

    public int DriveCode => _code;

    public bool RailOn => _rail;

    public bool IsSafe => _code <= SafeCode && !_rail;

    public void Drive(long now, int code)
    {
        if (code == _code) return;
        _code = code;
        _bench.WriteDrive(At(now), code);
        Note(now, JournalKind.DriveWritten, code, _options.Drive.ToVolts(code));
    }

    public void SwitchHeater(long now, bool on)
    {
        if (on == _heater) return;
        _heater = on;
        _bench.SwitchHeater(At(now), on, HeaterVolts);
        Note(now, JournalKind.HeaterSet, on ? 1 : 0, on ? HeaterVolts : 0);
    }

    public void SwitchRail(long now, bool on)
    {
        if (on == _rail) return;
        _rail = on;
        _bench.SwitchRail(At(now), on, RailVolts);
        Note(now, JournalKind.PlateRailSet, on ? 1 : 0, on ? RailVolts : 0);
    }

    public void SelectSocket(long now, int socket) => _bench.SelectSocket(At(now), socket);

    /// <summary>Wires the socket and sets the supplies, as the operator does before a plan.</summary>
    public void Wire(long now, RigWiring wiring) => _bench.Wire(At(now), wiring);

    public int Convert(long now, RigChannel channel) => _bench.Convert(At(now), channel);

    /// <summary>Where a channel would be on the scale of its converter, in steps with fractions: what its divider makes of the voltage.</summary>
    public double StepsAt(long now, RigChannel channel)
    {
        foreach (var fault in Faults)
            if (fault is SimulatedFault.ChannelStuck stuck && stuck.Channel == channel && stuck.IsPresent(now)) return stuck.Code;
        var scale = _options.Channels[(int)channel];
        return (_bench.VoltsAt(At(now), channel) - scale.AtZero.Value) / scale.StepVolts;
    }

    public bool EmergencyStopPressed(long now) => _bench.EmergencyStopPressed(now);

    public void NoteRestart(long now, ResetReason reason) => Note(now, JournalKind.Restarted, (int)reason, 0);

    // Bench time never runs backwards; a sample taken in the middle of a transfer may lie a few microseconds before its end.
    private long At(long now) => _latest = Math.Max(_latest, now);

    private void Note(long now, JournalKind kind, int code, double value) =>
        Journal.Add(new(Math.Max(_latest, now), kind, code, value), kind == JournalKind.DriveWritten ? Math.Min(code, SafeCode) : SafeCode);
}
