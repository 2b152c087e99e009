using SweepRig.Rigs.Link;

namespace SweepRig.Wire.Exploration;

/// <summary>
/// Two walks of the firmware through the same events: one on its own times and numbers, one that takes a state's fixed form after each event, as the explorer does. They
/// must say and show the same at every step, or the fixed form hides something that matters.
/// </summary>
public static class CanonicalWalk
{
    /// <param name="library">The firmware's core.</param>
    /// <param name="seed">Of the events.</param>
    /// <param name="steps">How many.</param>
    /// <returns>Null when the walks were alike; else where they parted.</returns>
    public static string? Parts(string library, int seed, int steps)
    {
        var random = new Random(seed);
        using var rigs = new RigStates(library);
        using var own = new ExploredFirmware(library);
        var (state, wire) = (new byte[own.Size], new byte[LinkProtocol.MaxWireBytes]);
        own.Reset(0, Surrounding.Of(Around.Quiet));
        own.Copy(state);
        var (rig, newest, firing, swapped, program) = (rigs.Start, (byte)0, (short)1, false, 0);
        for (var i = 0; i < steps; i++)
        {
            var (word, wait, around) = Draw(random, ref program);
            var move = word is { } w ? rigs.Hear(rig, rigs.HostWords.Of(w)) : wait ? rigs.Wait(rig) : rigs.Surround(rig, around);
            own.Load(state);
            var spoken = (word is { } said ? own.Hear(wire.AsSpan(0, Raw(said, newest, (byte)firing, swapped).Write(wire)))
                : wait ? own.Wait(RigStates.StepMicroseconds)
                : own.Surround(Surrounding.Of(around))).ToArray();
            own.Copy(state);
            newest += move.Now.Newer;
            firing += move.Now.Fired;
            swapped ^= move.Now.Swapped;
            var counted = new Recount(newest, (short)(firing - Firing.Latest), swapped);
            var heard = rigs.Read(spoken).Select(x => x.Counted(counted)).ToList();
            var expected = move.Said.Select(x => rigs.RigWords[x]).ToList();
            if (!heard.SequenceEqual(expected)) return $"step {i}, {word}: {string.Join("; ", heard)} and not {string.Join("; ", expected)}";
            if (!own.Look().Equals(rigs.Look(move.Rig))) return $"step {i}, {word}: the outputs differ";
            rig = move.Rig;
        }
        return null;
    }

    /// <summary>The word by the numbers of the rig that keeps its own.</summary>
    private static HostWord Raw(HostWord word, byte newest, byte firing, bool swapped) => word with
    {
        Sequence = word.Says is HostSays.Hello or HostSays.Renew ? word.Sequence : (sbyte)(word.Sequence + newest),
        Argument = word.Says switch
        {
            HostSays.Release => (byte)(word.Argument - Firing.Latest + firing),
            HostSays.Hello or HostSays.Renew when swapped => (byte)(3 - word.Argument),
            _ => word.Argument,
        },
    };

    private static (HostWord? Word, bool Wait, Around Around) Draw(Random random, ref int program)
    {
        var next = (sbyte)random.Next(0, 3);
        switch (random.Next(12))
        {
            case 0 or 1 or 2 or 3:
                return (null, true, default);
            case 4 or 5:
                return (new HostWord(HostSays.Renew, 0, (byte)random.Next(1, 3)), false, default);
            case 6:
                return (new HostWord(HostSays.Release, next, (byte)(Firing.Latest - random.Next(2))), false, default);
            case 7:
                return (null, false, (Around)random.Next(Surrounding.Count));
            case 8:
                return (new HostWord(random.Next(6) == 0 ? HostSays.Safe : HostSays.RailOn, next, 0), false, default);
            case 9:
                return (new HostWord(HostSays.Hello, 0, (byte)random.Next(1, 3)), false, default);
            default:
                if (random.Next(3) == 0) program = Sweep.NumberOf((SweepKind)random.Next(3), program);
                return (new HostWord((HostSays)((int)HostSays.ProgramBegin + random.Next(3)), next, (byte)Math.Max(1, program)), false, default);
        }
    }
}
