using System.Collections.Concurrent;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Serial;

/// <summary>
/// The serial port of one rig of several. When the port is gone, the rig is looked for by its serial number on the others: first where its adapter is, by the
/// name that udev gives it, then one after another, never on one that another rig or program has. Also the gate that lets only that rig in there.
/// </summary>
/// <remarks>Used by the owner task of one rig alone, which opens, asks and leaves in turn.</remarks>
public sealed class RoamingPort : IRigPort, IRigGate
{
    /// <summary>A port where the rig was not is asked again after so many attempts: it may have been without power.</summary>
    private const int AskAgainAfter = 12;

    private readonly string _name;
    private readonly string _own;
    private readonly string? _wanted;
    private readonly PortRoll _roll;
    private readonly IPresentPorts _present;
    private readonly Func<string, IRigPort> _portAt;
    private readonly ConcurrentDictionary<string, IRigPort> _ports = new(StringComparer.Ordinal);
    private readonly HashSet<string> _asked = new(StringComparer.Ordinal);
    private volatile string _at;
    private string? _known;
    private string? _stable;
    private int _inVain;

    /// <param name="name">Of the rig in this program.</param>
    /// <param name="path">Its own port.</param>
    /// <param name="serialNumber">That the rig must have; null for any at its own port, and then that one elsewhere.</param>
    /// <param name="portAt">Makes the port of a path.</param>
    public RoamingPort(string name, string path, string? serialNumber, PortRoll roll, IPresentPorts present, Func<string, IRigPort> portAt)
    {
        (_name, _own, _wanted, _roll, _present, _portAt) = (name, path, serialNumber, roll, present, portAt);
        (_at, _known) = (path, serialNumber);
    }

    /// <inheritdoc/>
    public string Name => At(_at).Name;

    /// <inheritdoc/>
    public async ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        Home();
        RigPortException fault;
        try
        {
            return await At(_own).OpenAsync(cancellationToken).ConfigureAwait(false);
        }
        catch (RigPortException own)
        {
            fault = own;
        }
        if (_known is null || _present.IsPresent(_own)) throw fault;
        foreach (var candidate in Candidates())
        {
            try
            {
                _asked.Add(candidate);
                var stream = await At(candidate).OpenAsync(cancellationToken).ConfigureAwait(false);
                _roll.Reserve(_name, candidate);
                _at = candidate;
                return stream;
            }
            catch (RigPortException)
            {
                // Taken or gone meanwhile; the next may be it.
            }
        }
        if (++_inVain >= AskAgainAfter)
        {
            _inVain = 0;
            _asked.Clear();
        }
        throw new RigPortException($"{fault.Message} Rig {_known} is on no other free port either; it is looked for further.", fault);
    }

    /// <inheritdoc/>
    public RigTurnedAway? Enter(RigIdentity rig)
    {
        if (_at != _own && rig.SerialNumber != _known) return new($"On {_at} is rig {rig.SerialNumber}. Rig {_known} ({_name}) is looked for further; plug it in at {_own}.", true);
        if (_wanted is not null && rig.SerialNumber != _wanted)
            return new($"On {_at} is rig {rig.SerialNumber}, and {_name} is to be rig {_wanted}. Plug that one in, or give {_name} the other serial number.", false);
        if (_roll.Enter(rig.SerialNumber, _name) is { } other)
            return new($"The rig on {_at} ({_name}) has the serial number {rig.SerialNumber}, and so has {other}, which is connected. Give one of them a serial number of its own, since calibrations belong to it, or leave one out.", false);
        _known = rig.SerialNumber;
        _stable = _present.All().FirstOrDefault(p => PortRoll.Device(p.Path) == PortRoll.Device(_at))?.Stable;
        _asked.Clear();
        _inVain = 0;
        return null;
    }

    /// <inheritdoc/>
    public void Left() => _roll.Leave(_name);

    private void Home()
    {
        if (_at != _own) _roll.Release(_at);
        _at = _own;
    }

    private string[] Candidates()
    {
        var there = _present.All();
        // One that was pulled out and came back may be another device.
        _asked.IntersectWith(there.Select(p => p.Path));
        return [.. there.Where(p => !_asked.Contains(p.Path) && !_roll.IsOfAnother(_name, p.Path) && !_present.IsHeld(p.Path))
            .OrderByDescending(p => _stable is not null && p.Stable == _stable).ThenBy(p => p.Path, StringComparer.Ordinal).Select(p => p.Path)];
    }

    private IRigPort At(string where) => _ports.GetOrAdd(where, _portAt);
}
