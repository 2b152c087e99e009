using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Wire.Exploration;

/// <summary>What the host makes of one thing that happens to it.</summary>
/// <param name="Host">Its end of the link and run afterwards.</param>
/// <param name="Interlock">Its interlocks afterwards.</param>
/// <param name="Tripped">By them.</param>
/// <param name="Sent">Words, in order.</param>
/// <param name="Broken">An invariant of the interlocks that was broken on the way.</param>
internal sealed record HostMove(int Host, int Interlock, bool Tripped, int[] Sent, Invariant<InterlockMoment>? Broken);

/// <summary>What somebody may do with a host.</summary>
[Flags]
internal enum Choices : byte
{
    None = 0,
    Negative = 1,
    Positive = 2,
    Stop = 4,
    Grant = 8,
    EndPermit = 16,
    Press = 32,
    LetGo = 64,

    /// <summary>A start without permit, by a planner that lets pass what it should not.</summary>
    Unpermitted = 128,
}

/// <summary>The states of the host that have been met, each by a number, and what each makes of each thing. The host itself is asked once for each pair.</summary>
internal sealed class HostStates(HostTurn turn, RigStates rigs)
{
    private const int HostBits = 24, InterlockBits = 16, KindBits = 5, WordBits = 16;

    private readonly Numbers<HostEnd> _hosts = new();
    private readonly Numbers<InterlockState> _interlocks = new();
    private readonly Dictionary<ulong, HostMove> _moves = [];
    private readonly Dictionary<ulong, Choices> _choices = [];
    private readonly List<int> _plain = [], _plainBooted = [];

    public int Interlocks => _interlocks.Count;

    public int Hosts => _hosts.Count;

    /// <summary>Pairs of state and event that the host was asked about.</summary>
    public int Asked => _moves.Count;

    public HostEnd Host(int number) => _hosts[number];

    public InterlockState Interlock(int number) => _interlocks[number];

    public int Counted(int host, Recount now) => _hosts.Of(_hosts[host].Counted(now));

    /// <summary>See <see cref="HostEnd.Plain"/>.</summary>
    public int Plain(int host, bool boot)
    {
        var known = boot ? _plainBooted : _plain;
        while (known.Count <= host) known.Add(0);
        if (known[host] == 0) known[host] = _hosts.Of(_hosts[host].Plain(boot));
        return known[host];
    }

    /// <summary>Nothing that was asked of the rig may still switch or drive anything.</summary>
    public bool IsIdle(int host) =>
        _hosts[host] is { Run: RunStage.None or RunStage.Closing } end && IsHarmless(end.InFlight) && IsHarmless(end.Next) && IsHarmless(end.AfterNext);

    /// <summary>A host that has just been started, on a bench where nothing has happened.</summary>
    public HostMove First()
    {
        turn.Begin(default, InterlockState.Initial);
        turn.Born();
        return Taken();
    }

    /// <param name="word">Number of what it hears; 0 if it is something else.</param>
    /// <param name="age">Steps of time since that was sent.</param>
    /// <param name="boot">Of the rig that it comes from.</param>
    public HostMove After(int host, int interlock, Kind kind, int word, byte age, bool boot)
    {
        var key = Key(host, interlock) | ((ulong)kind << (HostBits + InterlockBits)) | ((ulong)word << (HostBits + InterlockBits + KindBits))
            | ((ulong)age << (HostBits + InterlockBits + KindBits + WordBits)) | (boot ? 1UL << 63 : 0);
        if (_moves.TryGetValue(key, out var known)) return known;
        turn.Begin(_hosts[host], _interlocks[interlock]);
        if (word != 0) Hear(rigs.RigWords[word], age, boot);
        else Act(kind);
        turn.Settle();
        var move = Taken();
        _moves.Add(key, move);
        return move;
    }

    public Choices May(int host, int interlock)
    {
        if (_choices.TryGetValue(Key(host, interlock), out var known)) return known;
        var (end, state) = (_hosts[host], _interlocks[interlock]);
        turn.Begin(end, state);
        var may = Choices.None;
        if (end.Stage != LinkStage.Dead)
        {
            var negative = turn.MayStart(SweepKind.Negative);
            Add(Choices.Negative, negative);
            Add(Choices.Unpermitted, negative && state.Permit is null);
            Add(Choices.Positive, turn.MayStart(SweepKind.Positive));
            Add(Choices.Stop, end.Run is RunStage.Sweeping && !end.Stopping);
            Add(Choices.Grant, end.Stage == LinkStage.Up && state.Permit is null && !(end.Run != RunStage.None && Sweep.KindOf(end.Chosen) == SweepKind.Positive));
            Add(Choices.EndPermit, state.Permit is not null);
            Add(Choices.Press, state.Trip is not null && !state.AcknowledgeHeld);
            Add(Choices.LetGo, state.AcknowledgeHeld);
        }
        _choices.Add(Key(host, interlock), may);
        return may;

        void Add(Choices choice, bool open) => may |= open ? choice : Choices.None;
    }

    private static bool IsHarmless(Asked asked) => asked.Says is HostSays.None or HostSays.AskStatus or HostSays.Safe or HostSays.Stop or HostSays.RailOff;

    private static ulong Key(int host, int interlock) =>
        host < 1 << HostBits && interlock < 1 << InterlockBits
            ? (uint)host | ((ulong)(uint)interlock << HostBits)
            : throw new InvalidOperationException("The exploration has met more states of the host than it can number.");

    private void Hear(RigWord word, byte age, bool boot)
    {
        if (word.Says == RigSays.Samples) turn.TakeBlock(word, rigs.Block(word.Block));
        else turn.Take(word, age, boot);
    }

    private void Act(Kind kind)
    {
        switch (kind)
        {
            case Kind.TimePasses:
                turn.Tick(Explorer.Step);
                break;
            case Kind.StartsNegative:
                turn.StartRun(SweepKind.Negative);
                break;
            case Kind.StartsPositive or Kind.StartsUnpermitted:
                turn.StartRun(SweepKind.Positive);
                break;
            case Kind.StartsWrong:
                turn.StartRun(SweepKind.Wrong);
                break;
            case Kind.Stops:
                turn.StopRun();
                break;
            case Kind.Grants:
                turn.Grant(Explorer.PermitSteps * Explorer.Step);
                break;
            case Kind.EndsPermit:
                turn.EndPermit();
                break;
            case Kind.Presses:
                turn.Press(true);
                break;
            case Kind.LetsGo:
                turn.Press(false);
                break;
            case Kind.OrdersSafe:
                turn.OrderSafe();
                break;
            case Kind.CablePulled:
                turn.Lose("cable");
                break;
            case Kind.HostDies:
                turn.Die();
                break;
            case Kind.HostIsBorn:
                turn.Born();
                break;
            default:
                throw new InvalidOperationException($"{kind} is nothing that happens to a host.");
        }
    }

    private HostMove Taken() => new(
        _hosts.Of(turn.Host), _interlocks.Of(turn.Interlock), turn.Interlock.Trip is not null, [.. turn.Sent.Select(w => rigs.HostWords.Of(w))], turn.Broken);
}
