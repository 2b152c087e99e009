using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Nights;

/// <summary>
/// Judges one rig by its own record of its outputs, by what reached it on the line and by the permits that were granted; it believes the service nothing. Bound to one thread.
/// </summary>
/// <param name="name">Of the station, for what it says.</param>
/// <param name="safeCode">Code of the most negative drive.</param>
/// <param name="leaseMicroseconds">A drive without renewal ends after this.</param>
/// <param name="hardCeiling">Of the rig, V.</param>
/// <param name="stepVolts">One step of the drive.</param>
internal sealed class RigWatcher(string name, int safeCode, long leaseMicroseconds, double hardCeiling, double stepVolts, RenewalHistory renewals)
{
    /// <summary>A microsecond that both clocks may round away, and what one wake of the rig does at once.</summary>
    private const long Rounding = 2;

    private const int MostTold = 50;

    private readonly PermitHistory _permits = new(TimeSpan.FromMinutes(10));
    private readonly List<string> _unsafe = [];
    private bool _drive, _rail, _latched = true;
    private long _drivingSince = -1, _judgedTo = -1;
    private long _hostTrippedAt = -1;

    public IReadOnlyList<string> Unsafe => _unsafe;

    private bool IsDriving => _drive || _rail;

    /// <summary>What the bench shows, seen from outside at a quiet moment.</summary>
    public void SeeBench(Permit? permit, bool tripped, long now)
    {
        _permits.See(permit?.Id, permit?.Ceiling.Value ?? 0, now);
        if (!tripped) _hostTrippedAt = -1;
        else if (_hostTrippedAt < 0) _hostTrippedAt = now;
    }

    /// <summary>Takes what the rig did since the last look, up to now.</summary>
    public void Judge(IReadOnlyList<JournalEntry> entries, long now)
    {
        foreach (var entry in entries) Take(entry);
        Hold(now);
        if (_hostTrippedAt >= 0 && IsDriving && now - _hostTrippedAt > leaseMicroseconds + Rounding) Say(now, $"the bench tripped at {_hostTrippedAt} us, and the rig still drives");
    }

    private void Take(JournalEntry entry)
    {
        var at = entry.AtMicroseconds;
        switch (entry.Kind)
        {
            case JournalKind.DriveWritten:
                var driven = entry.Code != safeCode;
                if (driven && _latched) Say(at, $"code {entry.Code}, {entry.Value:0.###} V, was written behind a fired latch");
                if (entry.Value > hardCeiling + stepVolts) Say(at, $"{entry.Value:0.###} V was written, above the rig's ceiling of {hardCeiling} V");
                if (entry.Value > 1e-9 && _permits.CeilingAt(at, leaseMicroseconds) is var permitted && entry.Value > permitted + 1e-9) Say(at, $"{entry.Value:0.###} V was written, {permitted} V was permitted");
                Set(ref _drive, driven, at);
                break;
            case JournalKind.PlateRailSet:
                if (entry.Code != 0 && _latched) Say(at, "the plate rail was switched on behind a fired latch");
                Set(ref _rail, entry.Code != 0, at);
                break;
            case JournalKind.Tripped or JournalKind.Restarted:
                _latched = true;
                break;
            case JournalKind.Released:
                _latched = false;
                break;
        }
    }

    private void Set(ref bool output, bool on, long at)
    {
        Hold(at);
        var before = IsDriving;
        output = on;
        if (IsDriving && !before) _drivingSince = _judgedTo = at;
        else if (!IsDriving) _drivingSince = -1;
    }

    /// <summary>Whether the host held the drive up to then.</summary>
    private void Hold(long to)
    {
        if (_drivingSince < 0 || to <= _judgedTo) return;
        if (renewals.FirstLapse(_judgedTo, to, leaseMicroseconds + Rounding) is { } lapse) Say(lapse, "the lease had run out, and the rig still drove");
        _judgedTo = to;
    }

    private void Say(long at, string what)
    {
        if (_unsafe.Count < MostTold) _unsafe.Add($"{name} at {at} us: {what}");
    }
}
