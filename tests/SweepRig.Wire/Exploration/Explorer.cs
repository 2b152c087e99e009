using System.Runtime.InteropServices;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Wire.Exploration;

/// <summary>
/// Every event in every state, breadth first: the firmware's core and the host's interlocks as they are, a line between them that loses, repeats, holds up and goes
/// dead, an operator, and time in steps of 100 ms (so that a lease of 300 ms ends in the fourth, a permit in the fifth, a request is given up after the fourth).
/// </summary>
/// <remarks>
/// Left out: the owner tasks and channels of LinkRig and SweepRunner, which <see cref="HostTurn"/> tells once more as one event after another; the budget of time
/// above 0 V, heater and warm-up, session limits, points measured again. Whole-system campaigns over faulty lines stand beside for those.
/// </remarks>
public sealed partial class Explorer : IDisposable
{
    private readonly RigStates _rigs;
    private readonly Numbers<HostEnd> _hosts = new();
    private readonly Numbers<InterlockState> _interlocks = new();
    private readonly HostTurn _turn;
    private readonly List<World> _worlds = [];
    private readonly Dictionary<World, int> _known = [];
    private readonly List<(int From, byte By)> _ways = [];
    private Counterexample? _broken;
    private string? _found;
    private bool _greeted;
    private string _statement = "";

    /// <param name="library">The firmware's core.</param>
    /// <param name="machine">The host's interlocks, or some that are wrong.</param>
    public Explorer(string library, HostFaults.Machine? machine = null)
    {
        _rigs = new(library);
        _turn = new(HostLimits.Of(_rigs.Identity.HardLimits, RigCalibration.Nominal(_rigs.Identity)), machine ?? InterlockMachine.Next);
    }

    /// <summary>Explores from every state of a plain evening: switched on, a sweep below 0 V to its end, a permit, a sweep above 0 V until the permit ends it, its release.</summary>
    public Explored Run(Bounds bounds)
    {
        var transitions = 0L;
        Seed();
        var (depth, end) = (0, _worlds.Count);
        for (var at = 0; at < _worlds.Count && _broken is null && depth <= bounds.Depth && _worlds.Count < bounds.States; at++)
        {
            if (at == end)
            {
                (depth, end) = (depth + 1, _worlds.Count);
                if (depth > bounds.Depth) break;
            }
            var world = _worlds[at];
            foreach (var happening in Possible(world, bounds))
            {
                transitions++;
                var next = After(world, happening);
                if (_found is not null)
                {
                    _broken = new(_found, _statement, [.. Way(at), Told(world, happening, next)]);
                    break;
                }
                Keep(next, at, happening.Code);
            }
        }
        var whole = _broken is null && _worlds.Count < bounds.States;
        return new(_worlds.Count, transitions, Math.Min(depth, bounds.Depth), whole, whole && depth <= bounds.Depth, _rigs.Count, _rigs.Asked, _interlocks.Count, _broken);
    }

    public void Dispose() => _rigs.Dispose();

    private void Seed()
    {
        _turn.Begin(default, InterlockState.Initial);
        _turn.Born();
        var world = new World { Rig = _rigs.Start, Unheld = World.LongUnheld, Unpermitted = World.Long };
        world = Sent(world, _turn) with { Host = _hosts.Of(_turn.Host), Interlock = _interlocks.Of(_turn.Interlock) };
        Keep(world, -1, 0);
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
            var from = _known[world];
            world = After(world, new(kind));
            if (_found is not null) _broken ??= new(_found, _statement, [.. Way(from), kind.ToString()]);
            Keep(world, from, new Happening(kind).Code);
        }
    }

    private void Keep(in World world, int from, byte by)
    {
        ref var number = ref CollectionsMarshal.GetValueRefOrAddDefault(_known, world, out var met);
        if (met) return;
        number = _worlds.Count;
        _worlds.Add(world);
        _ways.Add((from, by));
    }

    private IEnumerable<Happening> Possible(World world, Bounds bounds)
    {
        var host = _hosts[world.Host];
        var interlock = _interlocks[world.Interlock];
        var (faults, incidents) = (world.Faults < bounds.Faults, world.Incidents < bounds.Incidents);
        // Before the first of them happens, for the turn is theirs too.
        _turn.Begin(host, interlock);
        var (negative, positive) = (_turn.MayStart(SweepKind.Negative), _turn.MayStart(SweepKind.Positive));
        // What is on its way comes or is lost before time goes on; what the line holds up waits longer.
        if (world.ToRig.Queue.IsEmpty && world.ToHost.Queue.IsEmpty) yield return new(Kind.TimePasses);
        if (!world.ToRig.Queue.IsEmpty)
        {
            yield return new(Kind.RigHears);
            if (faults)
            {
                yield return new(Kind.LosesToRig);
                if (world.ToRig.Held == 0)
                {
                    yield return new(Kind.RepeatsToRig);
                    yield return new(Kind.HoldsToRig);
                }
            }
        }
        if (!world.ToHost.Queue.IsEmpty)
        {
            yield return new(Kind.HostHears);
            if (faults)
            {
                yield return new(Kind.LosesToHost);
                if (world.ToHost.Held == 0)
                {
                    yield return new(Kind.RepeatsToHost);
                    yield return new(Kind.HoldsToHost);
                }
            }
        }
        if (world.ToRig.Held != 0) yield return new(Kind.RigHearsHeld);
        if (world.ToHost.Held != 0) yield return new(Kind.HostHearsHeld);
        if (host.Stage != LinkStage.Dead)
        {
            if (negative) yield return new(Kind.StartsNegative);
            if (positive) yield return new(Kind.StartsPositive);
            if (host.Run is RunStage.Sweeping && !host.Stopping) yield return new(Kind.Stops);
            if (host.Stage == LinkStage.Up && interlock.Permit is null && !(host.Run != RunStage.None && Sweep.KindOf(host.Chosen) == SweepKind.Positive)) yield return new(Kind.Grants);
            if (interlock.Permit is not null) yield return new(Kind.EndsPermit);
            if (interlock.Trip is not null && !interlock.AcknowledgeHeld) yield return new(Kind.Presses);
            if (interlock.AcknowledgeHeld) yield return new(Kind.LetsGo);
        }
        else
        {
            yield return new(Kind.HostIsBorn);
        }
        if (world.LineOut) yield return new(Kind.LineBack);
        if (world.Around != Around.Quiet) yield return new(Kind.Surrounds);
        if (!incidents) yield break;
        if (host.Stage != LinkStage.Dead)
        {
            if (negative) yield return new(Kind.StartsWrong);
            // A planner that lets pass what it should not.
            if (negative && interlock.Permit is null) yield return new(Kind.StartsUnpermitted);
            yield return new(Kind.OrdersSafe);
            yield return new(Kind.HostDies);
            if (!world.LineOut && host.Stage != LinkStage.Greeting) yield return new(Kind.CablePulled);
        }
        if (!world.LineOut) yield return new(Kind.LineSilent);
        yield return new(Kind.RigResets);
        for (var around = 1; around < Surrounding.Count; around++)
            if (world.Around == Around.Quiet) yield return new(Kind.Surrounds, (Around)around);
    }

    /// <summary>The way to a world, told.</summary>
    private IEnumerable<string> Way(int to)
    {
        var steps = new List<(int From, byte By, int To)>();
        for (; _ways[to].From >= 0; to = _ways[to].From) steps.Add((_ways[to].From, _ways[to].By, to));
        steps.Reverse();
        return steps.Select(s => Told(_worlds[s.From], Happening.Of(s.By), _worlds[s.To]));
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
        var (host, interlock) = (_hosts[after.Host], _interlocks[after.Interlock]);
        return $"{what,-60} | rig {seen.DriveMicrovolts / 1e6:0.0} V{(seen.Running != 0 ? " running" : "")}{((seen.Switches & 2) != 0 ? " rail" : "")}"
            + $"{(seen.Latched != 0 ? $" latched by {(TripCause)seen.Cause}" : "")} | host {host.Stage} {host.Run}{(interlock.Trip is { } trip ? $" tripped by {trip.Cause}" : "")}"
            + $"{(interlock.Permit is null ? "" : " permit")} | unheld {after.Unheld}, unpermitted {after.Unpermitted}";
    }
}
