namespace SweepRig.Wire.Exploration;

/// <summary>How far an exploration goes. What is within is explored whole: every event in every state, in every order.</summary>
/// <param name="Faults">Messages that the line loses, repeats or holds up, on any one way.</param>
/// <param name="Incidents">Things that go wrong elsewhere on any one way: emergency stop, a limit broken, a wrong program, one without permit, cable, rig reset, death of the host, an order to be safe.</param>
/// <param name="Depth">Longest way from a seed, in events; <see cref="Unbounded"/> for as deep as there is anything new.</param>
/// <param name="States">Where it is given up, unfinished.</param>
public readonly record struct Bounds(int Faults, int Incidents, int Depth, int States)
{
    /// <summary>A depth that is none.</summary>
    public const int Unbounded = short.MaxValue - 1;
}

/// <summary>What an exploration found.</summary>
/// <param name="States">Different worlds met.</param>
/// <param name="Transitions">Events tried in them.</param>
/// <param name="Depth">Of the deepest world, in events from a seed by the way on which it was met.</param>
/// <param name="IsWhole">True if nothing within the bounds was left out.</param>
/// <param name="IsClosed">True if nothing new is left within the bounds on faults and incidents, however deep.</param>
/// <param name="RigStates">Different states of the firmware met.</param>
/// <param name="RigSteps">Pairs of its state and an event that it was run for.</param>
/// <param name="InterlockStates">Different states of the host's interlocks met.</param>
/// <param name="Broken">What was broken first, with the way there; null if nothing.</param>
public sealed record Explored(
    int States, long Transitions, int Depth, bool IsWhole, bool IsClosed, int RigStates, int RigSteps, int InterlockStates, Counterexample? Broken);

/// <summary>A way to a broken invariant, one of the shortest.</summary>
public sealed record Counterexample(string Invariant, string Statement, IReadOnlyList<string> Way)
{
    public override string ToString() => $"broken: {Invariant}: {Statement}\n" + string.Join('\n', Way.Select((w, i) => $"{i + 1,4} {w}"));
}
