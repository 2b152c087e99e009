namespace SweepRig.Wire.Exploration;

/// <content>What makes two worlds one: numbers that only name, and clocks whose end has come in all but their count.</content>
public sealed partial class Explorer
{
    private World Counted(World world, Recount now)
    {
        world.Host = _hosts.Counted(world.Host, now);
        world.RigSession = now.Session(world.RigSession);
        int ToRig(int word) => _rigs.HostWords.Of(_rigs.HostWords[word].Counted(now));
        int ToHost(int word) => _rigs.RigWords.Of(_rigs.RigWords[word].Counted(now));
        world.ToRig = world.ToRig with { Queue = world.ToRig.Queue.Map(ToRig), Held = world.ToRig.Held == 0 ? (ushort)0 : (ushort)ToRig(world.ToRig.Held) };
        world.ToHost = world.ToHost with { Queue = world.ToHost.Queue.Map(ToHost), Held = world.ToHost.Held == 0 ? (ushort)0 : (ushort)ToHost(world.ToHost.Held) };
        return world;
    }

    /// <summary>
    /// Where the rig is at rest and nothing is on its way to it, the time that it is given to become safe is over at once: what holds then holds with more time too. Starts
    /// of the rig are told apart from the present one.
    /// </summary>
    private World Plain(World world)
    {
        world.Host = _hosts.Plain(world.Host, world.Boot);
        world.Boot = false;
        if (!world.ToRig.Queue.IsEmpty || world.ToRig.Held != 0 || !_hosts.IsIdle(world.Host) || !IsAtRest(_rigs.Look(world.Rig))) return world;
        if (world.Unpermitted > 0) world.Unpermitted = World.Long;
        if (world.Tripped > 0) world.Tripped = World.Long;
        return world;
    }

    private static bool IsAtRest(in Seen seen) => seen.DriveMicrovolts <= seen.SafeMicrovolts && (seen.Switches & RailSwitch) == 0 && seen.Running == 0;
}
