using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Wire.Exploration;

/// <content>What each event does, and what must hold afterwards.</content>
public sealed partial class Explorer
{
    /// <summary>Steps of time that a permit lasts.</summary>
    internal const int PermitSteps = 4;

    private const byte WatchdogReset = 3, RailSwitch = 2;

    internal static readonly TimeSpan Step = TimeSpan.FromMicroseconds(RigStates.StepMicroseconds);

    /// <summary>The lease, and the millisecond that the firmware's first tick may be short of.</summary>
    private static readonly TimeSpan Lease = TimeSpan.FromMilliseconds(301);

    /// <summary>
    /// Four attempts at the order to be safe, 100 ms each; the last renewal before the link is given up then, held up by the line for two steps; the lease; and the step
    /// in which the permit ended.
    /// </summary>
    private static readonly TimeSpan SafeWithin = 10 * Step;

    private World After(World world, Happening happening)
    {
        (_found, _greeted) = (null, false);
        world = happening.Kind switch
        {
            Kind.TimePasses => PassTime(world),
            Kind.RigHears => RigHears(Took(world, toRig: true), world.ToRig.Queue.First),
            Kind.HostHears => HostHears(Took(world, toRig: false), world.ToHost.Queue.First, 0),
            Kind.RigHearsHeld => RigHears(world with { ToRig = world.ToRig with { Held = 0, HeldFor = 0 } }, world.ToRig.Held),
            Kind.HostHearsHeld => HostHears(world with { ToHost = world.ToHost with { Held = 0, HeldFor = 0 } }, world.ToHost.Held, world.ToHost.HeldFor),
            Kind.LosesToRig => Took(world, toRig: true),
            Kind.LosesToHost => Took(world, toRig: false),
            Kind.HoldsToRig => Held(Took(world, toRig: true), world.ToRig.Queue.First, toRig: true),
            Kind.HoldsToHost => Held(Took(world, toRig: false), world.ToHost.Queue.First, toRig: false),
            Kind.RepeatsToRig => RigHears(Held(Took(world, toRig: true), world.ToRig.Queue.First, toRig: true), world.ToRig.Queue.First),
            Kind.RepeatsToHost => HostHears(Held(Took(world, toRig: false), world.ToHost.Queue.First, toRig: false), world.ToHost.Queue.First, 0),
            Kind.Grants => HostDoes(world with { PermitLeft = PermitSteps, Unpermitted = 0 }, Kind.Grants),
            Kind.EndsPermit or Kind.HostDies => HostDoes(world with { PermitLeft = 0 }, happening.Kind),
            Kind.Surrounds => RigMoves(world with { Around = happening.Around }, _rigs.Surround(world.Rig, happening.Around)),
            Kind.CablePulled => HostDoes(Silenced(world), Kind.CablePulled),
            Kind.LineSilent => Silenced(world),
            Kind.LineBack => world with { LineOut = false },
            Kind.RigResets => Reset(world),
            _ => HostDoes(world, happening.Kind),
        };
        Judge(world);
        return world;
    }

    private World PassTime(World world)
    {
        world = RigMoves(world, _rigs.Wait(world.Rig));
        (world.Unheld, world.Unpermitted) = (Later(world.Unheld, World.LongUnheld), Later(world.Unpermitted, World.Long));
        if (world.PermitLeft > 0 && --world.PermitLeft > 0) world.Unpermitted = 0;
        if (world.Tripped > 0) world.Tripped = Later(world.Tripped, World.Long);
        (world.ToRig, world.ToHost) = (Aged(world.ToRig), Aged(world.ToHost));
        return _hosts.Host(world.Host).Stage == LinkStage.Dead ? world : HostDoes(world, Kind.TimePasses);
    }

    private World RigHears(World world, int word)
    {
        var heard = _rigs.HostWords[word];
        if (heard.Says == HostSays.Hello) (world.RigSession, world.Unheld, _greeted) = (heard.Argument, 0, true);
        if (heard.Says == HostSays.Renew && heard.Argument == world.RigSession) world.Unheld = 0;
        return RigMoves(world, _rigs.Hear(world.Rig, word), heard.Says is HostSays.Release or HostSays.ReleaseFirst ? heard.Argument : null);
    }

    private World HostHears(World world, int word, byte age)
    {
        if (_hosts.Host(world.Host).Stage == LinkStage.Dead) return world;
        // Of all that it says, only a status goes by its age, and only a greeting by the start that it comes from.
        return HostDoes(world, Kind.HostHears, word, age);
    }

    private World Reset(World world)
    {
        var move = _rigs.Restart(world.Around, WatchdogReset);
        world = RigMoves(world, move, reset: true);
        return world with { Boot = !world.Boot, RigSession = 0, Unheld = World.LongUnheld };
    }

    private World RigMoves(World world, RigMove move, int? named = null, bool reset = false)
    {
        var (before, after) = (_rigs.Look(world.Rig), _rigs.Look(move.Rig));
        var moved = new LatchMove(
            Cause(before), Firing.Latest, Cause(after), Firing.Latest + move.Now.Fired, named, before.Present != 0 || world.Around == Around.Stop, reset);
        if (LatchInvariants.Broken(moved) is { } broken) Find(broken.Name, broken.Statement);
        world.Rig = move.Rig;
        if (!move.Now.IsNone) world = Counted(world, move.Now);
        if (!world.LineOut)
            foreach (var word in move.Said) world.ToHost = world.ToHost with { Queue = world.ToHost.Queue.With(word) };
        return world;
    }

    private World HostDoes(World world, Kind kind, int word = 0, byte age = 0) => HostMoved(world, _hosts.After(world.Host, world.Interlock, kind, word, age, world.Boot));

    private World HostMoved(World world, HostMove move)
    {
        if (move.Broken is { } broken) Find(broken.Name, broken.Statement);
        if (!move.Tripped) world.Tripped = 0;
        else if (world.Tripped == 0) world.Tripped = 1;
        (world.Host, world.Interlock) = (move.Host, move.Interlock);
        if (world.LineOut) return world;
        foreach (var word in move.Sent) world.ToRig = world.ToRig with { Queue = world.ToRig.Queue.With(word) };
        return world;
    }

    private void Judge(in World world)
    {
        if (_found is not null) return;
        var seen = _rigs.Look(world.Rig);
        var picture = new BenchPicture
        {
            Drive = seen.DriveMicrovolts / 1e6,
            SafeDrive = seen.SafeMicrovolts / 1e6,
            RigCeiling = seen.CeilingMicrovolts / 1e6,
            DriveStep = 48.0 / 4095,
            RailOn = (seen.Switches & RailSwitch) != 0,
            Running = seen.Running != 0,
            LatchedBy = Cause(seen),
            LimitBroken = world.Around switch
            {
                Around.Stop or Around.RailOver or Around.ReadBackAbove or Around.ReadBackBelow => true,
                Around.GridOver => seen.DriveMicrovolts > 0,
                Around.CathodeOver => seen.Running != 0,
                _ => false,
            },
            SwitchedOff = _hosts.Host(world.Host) is { SwitchedOff: true, Stage: LinkStage.Up } host && host.Session == world.RigSession,
            Greeted = _greeted,
            Unheld = world.Unheld * Step,
            Lease = Lease,
            Unpermitted = world.Unpermitted * Step,
            Tripped = world.Tripped == 0 ? null : (world.Tripped - 1) * Step,
            SafeWithin = SafeWithin,
        };
        if (BenchInvariants.Broken(picture) is { } broken) Find(broken.Name, broken.Statement);
    }

    private void Find(string invariant, string statement)
    {
        if (_found is null) (_found, _statement) = (invariant, statement);
    }

    private static TripCause? Cause(in Seen seen) => seen.Latched != 0 ? (TripCause)seen.Cause : null;

    private static World Took(World world, bool toRig) => toRig
        ? world with { ToRig = world.ToRig with { Queue = world.ToRig.Queue.Rest } }
        : world with { ToHost = world.ToHost with { Queue = world.ToHost.Queue.Rest } };

    private static World Held(World world, int word, bool toRig) => toRig
        ? world with { ToRig = world.ToRig with { Held = (ushort)word, HeldFor = 0 } }
        : world with { ToHost = world.ToHost with { Held = (ushort)word, HeldFor = 0 } };

    private static World Silenced(World world) => world with { LineOut = true, ToRig = default, ToHost = default };

    private static Way Aged(Way way)
    {
        if (way.Held == 0) return way;
        return way.HeldFor < World.LongestHold ? way with { HeldFor = (byte)(way.HeldFor + 1) } : way with { Held = 0, HeldFor = 0 };
    }

    private static byte Later(byte steps, byte longest) => steps < longest ? (byte)(steps + 1) : longest;
}
