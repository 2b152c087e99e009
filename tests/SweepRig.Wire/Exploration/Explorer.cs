using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Wire.Exploration;

/// <summary>
/// Every event in every state: the firmware's core and the host's interlocks as they are, a line between them that loses, repeats, holds up and goes
/// dead, an operator, and time in steps of 100 ms (so that a lease of 300 ms ends in the fourth, a permit in the fifth, a request is given up after the fourth).
/// </summary>
/// <remarks>
/// Left out: the owner tasks and channels of LinkRig and SweepRunner, which <see cref="HostTurn"/> tells once more as one event after another; the budget of time
/// above 0 V, heater and warm-up, session limits, points measured again. Whole-system campaigns over faulty lines stand beside for those.
/// </remarks>
public sealed partial class Explorer : IDisposable
{
    private readonly RigStates _rigs;
    private readonly HostStates _hosts;
    private readonly WorldPacker _packer = new();
    private readonly WorldSet _worlds = new();
    private readonly List<Happening> _possible = [];
    private Frontier _frontier = new(default);
    private Counterexample? _broken;
    private string? _found;
    private bool _greeted;
    private string _statement = "";

    /// <param name="library">The firmware's core.</param>
    /// <param name="machine">The host's interlocks, or some that are wrong.</param>
    public Explorer(string library, HostFaults.Machine? machine = null)
    {
        _rigs = new(library);
        _hosts = new(new(HostLimits.Of(_rigs.Identity.HardLimits, RigCalibration.Nominal(_rigs.Identity)), machine ?? InterlockMachine.Next), _rigs);
    }

    /// <summary>Explores from every state of a plain evening: switched on, a sweep below 0 V to its end, a permit, a sweep above 0 V until the permit ends it, its release.</summary>
    public Explored Run(Bounds bounds)
    {
        var (transitions, deepest) = (0L, 0);
        _frontier = new(bounds);
        Seed();
        while (_broken is null && _worlds.Count < bounds.States && _frontier.Next(out var reached))
        {
            var world = _packer.Unpack(_worlds[reached.World]);
            deepest = Math.Max(deepest, reached.Depth);
            _possible.Clear();
            Possible(world, reached.Faults < bounds.Faults, reached.Incidents < bounds.Incidents);
            foreach (var happening in _possible)
            {
                transitions++;
                var next = After(world, happening);
                if (_found is not null)
                {
                    _broken = new(_found, _statement, [.. Way(reached.World), Told(world, happening, next)]);
                    break;
                }
                Keep(next, reached.World, happening, reached.After(happening));
            }
        }
        var whole = _broken is null && _frontier.IsEmpty;
        return new(_worlds.Count, transitions, deepest, whole, whole && !_frontier.WasCut, _rigs.Count, _rigs.Asked, _hosts.Interlocks, _broken);
    }

    public void Dispose() => _rigs.Dispose();

    private void Seed()
    {
        var start = new World { Rig = _rigs.Start, Unheld = World.LongUnheld, Unpermitted = World.Long };
        var world = HostMoved(start, _hosts.First());
        var at = Keep(world, -1, default, default);
        Play(Kind.TimePasses, Kind.TimePasses, Kind.StartsNegative, Kind.TimePasses, Kind.TimePasses, Kind.TimePasses, Kind.Grants, Kind.StartsPositive, Kind.TimePasses,
            Kind.TimePasses, Kind.TimePasses, Kind.TimePasses, Kind.TimePasses, Kind.TimePasses, Kind.Presses, Kind.LetsGo);

        void Play(params Kind[] kinds)
        {
            Deliver();
            foreach (var kind in kinds)
            {
                Do(kind);
                Deliver();
            }
        }

        // Everything arrives before anything else happens.
        void Deliver()
        {
            while (!world.ToRig.Queue.IsEmpty || !world.ToHost.Queue.IsEmpty) Do(world.ToRig.Queue.IsEmpty ? Kind.HostHears : Kind.RigHears);
        }

        void Do(Kind kind)
        {
            world = After(world, new(kind));
            if (_found is not null) _broken ??= new(_found, _statement, [.. Way(at), kind.ToString()]);
            at = Keep(world, at, new(kind), default);
        }
    }

    private int Keep(in World world, int from, Happening by, Reached reached)
    {
        var number = _worlds.Of(_packer.Pack(Plain(world)), from, by.Code);
        _frontier.Add(ref _worlds.Used(number), reached with { World = number });
        return number;
    }

    /// <summary>The way to a world, told.</summary>
    private IEnumerable<string> Way(int to)
    {
        var steps = new List<(int From, byte By, int To)>();
        for (var (from, by) = _worlds.WayTo(to); from >= 0; to = from, (from, by) = _worlds.WayTo(to)) steps.Add((from, by, to));
        steps.Reverse();
        return steps.Select(s => Told(_packer.Unpack(_worlds[s.From]), Happening.Of(s.By), _packer.Unpack(_worlds[s.To])));
    }

    private string Told(World before, Happening happening, World after)
    {
        var what = happening.Kind switch
        {
            Kind.RigHears => $"rig hears {_rigs.HostWords[before.ToRig.Queue.First]}",
            Kind.HostHears => $"host hears {_rigs.RigWords[before.ToHost.Queue.First]}",
            Kind.RigHearsHeld => $"rig hears, late: {_rigs.HostWords[before.ToRig.Held]}",
            Kind.HostHearsHeld => $"host hears, late: {_rigs.RigWords[before.ToHost.Held]}",
            Kind.LosesToRig or Kind.RepeatsToRig or Kind.HoldsToRig => $"line {happening.Kind}: {_rigs.HostWords[before.ToRig.Queue.First]}",
            Kind.LosesToHost or Kind.RepeatsToHost or Kind.HoldsToHost => $"line {happening.Kind}: {_rigs.RigWords[before.ToHost.Queue.First]}",
            Kind.Surrounds => $"around the rig: {happening.Around}",
            _ => $"{happening.Kind}",
        };
        var seen = _rigs.Look(after.Rig);
        var (host, interlock) = (_hosts.Host(after.Host), _hosts.Interlock(after.Interlock));
        return $"{what,-60} | rig {seen.DriveMicrovolts / 1e6:0.0} V{(seen.Running != 0 ? " running" : "")}{((seen.Switches & 2) != 0 ? " rail" : "")}"
            + $"{(seen.Latched != 0 ? $" latched by {(TripCause)seen.Cause}" : "")} | host {host.Stage} {host.Run}{(interlock.Trip is { } trip ? $" tripped by {trip.Cause}" : "")}"
            + $"{(interlock.Permit is null ? "" : " permit")} | unheld {after.Unheld}, unpermitted {after.Unpermitted}";
    }
}
