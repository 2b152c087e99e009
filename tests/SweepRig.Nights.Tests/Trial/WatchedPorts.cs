using System.Collections.Concurrent;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;
using SweepRig.Service.Stations;
using SweepRig.Wire.Line;

namespace SweepRig.Nights;

/// <summary>Puts a line that can be spoilt, and an ear at its far end, between each rig and its port.</summary>
/// <param name="now">Microseconds of the trial.</param>
internal sealed class WatchedPorts(int seed, TimeProvider time, Func<long> now) : IPortObserver
{
    private readonly ConcurrentDictionary<string, WatchedPort> _ports = new();

    public WatchedPort Of(string station) => _ports[station];

    public IRigPort Around(RigChoice choice, IRigPort port)
    {
        ArgumentNullException.ThrowIfNull(choice);
        var of = choice.Name.Sum(c => c) * 1_000 + seed;
        var renewals = new RenewalHistory(now);
        LineDamage toRig = new(LineRates.Clean, of), toHost = new(LineRates.Clean, of + 1);
        var faulty = new FaultyPort(port, toRig, toHost, time, renewals.Hear);
        _ports[choice.Name] = new(faulty, toRig, toHost, renewals);
        return faulty;
    }

    public IBusPort Around(RigChoice choice, IBusPort port) => port;
}

internal sealed record WatchedPort(FaultyPort Port, LineDamage ToRig, LineDamage ToHost, RenewalHistory Renewals);
