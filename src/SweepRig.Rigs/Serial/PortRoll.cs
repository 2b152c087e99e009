using System.Collections.Concurrent;

namespace SweepRig.Rigs.Serial;

/// <summary>Which of the rigs of this program has which port and which serial number, so that none takes another's. Safe from any thread.</summary>
public sealed class PortRoll
{
    private readonly ConcurrentDictionary<string, string> _ports = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, string> _rigs = new(StringComparer.Ordinal);

    /// <summary>A port that is a rig's own, connected or not.</summary>
    public void Reserve(string name, string path) => _ports[path] = name;

    /// <summary>A port besides its own that a rig uses while it is open.</summary>
    public void Release(string path) => _ports.TryRemove(path, out _);

    /// <returns>True if another rig than this has the device, under whatever name.</returns>
    public bool IsOfAnother(string name, string path)
    {
        var device = Device(path);
        return _ports.Any(p => p.Value != name && Device(p.Key) == device);
    }

    /// <param name="name">Of the rig in this program.</param>
    /// <returns>Null, or the name of the rig that is connected with that serial number.</returns>
    public string? Enter(string serialNumber, string name)
    {
        var holder = _rigs.GetOrAdd(serialNumber, name);
        return holder == name ? null : holder;
    }

    public void Leave(string name)
    {
        foreach (var held in _rigs.Where(r => r.Value == name)) _rigs.TryRemove(held);
    }

    /// <summary>The device behind a name, which may be a link to it or gone.</summary>
    internal static string Device(string path)
    {
        try
        {
            return File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName ?? Path.GetFullPath(path);
        }
        catch (IOException)
        {
            return Path.GetFullPath(path);
        }
    }
}
