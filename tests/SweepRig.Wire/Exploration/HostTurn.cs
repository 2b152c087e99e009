using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Wire.Exploration;

/// <summary>
/// One thing that happens to the host. The interlocks are the real ones, and so are the decoders; what stands between them, the owner tasks of link and bench, is
/// told here once more without its channels and clocks: one request at a time, repeated under its number, safe before all others, one step of a run after the other.
/// </summary>
internal sealed class HostTurn(HostLimits limits, HostFaults.Machine machine)
{
    public static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    /// <summary>Steps of time that the host waits for any word of the rig, and how often it sends a request.</summary>
    private const int Silence = 5, Attempts = 4;

    /// <summary>Numbers of a new connection begin behind most that the line may still hold.</summary>
    private const sbyte FarBehind = Recount.LongAgo;

    private readonly List<HostWord> _sent = [];
    private HostEnd _host;
    private InterlockState _interlock = InterlockState.Initial;

    public HostEnd Host => _host;

    public InterlockState Interlock => _interlock;

    /// <summary>What it sent, in order.</summary>
    public IReadOnlyList<HostWord> Sent => _sent;

    /// <summary>An invariant of the interlocks that was broken on the way.</summary>
    public Invariant<InterlockMoment>? Broken { get; private set; }

    public void Begin(HostEnd host, InterlockState interlock)
    {
        (_host, _interlock, Broken) = (host, interlock, null);
        _sent.Clear();
    }

    /// <summary>A new process; it remembers nothing, and no session of it has the number of an earlier one.</summary>
    public void Born()
    {
        Die();
        Greet();
    }

    public void Die()
    {
        _host = new HostEnd { Session = _host.Session == 0 ? (byte)2 : _host.Session, Told = (false, Firing.Oldest) };
        _interlock = InterlockState.Initial;
    }

    public void Grant(TimeSpan duration) => Apply(new InterlockEvent.PermitGranted(new(Guid.Empty, new(8), duration, "exploration", Now)));

    public void EndPermit() => Apply(new InterlockEvent.PermitEnded());

    public void Press(bool pressed) => Apply(new InterlockEvent.AcknowledgeInput(pressed));

    /// <summary>The operator's order goes to the rig at once and through the interlocks a second time.</summary>
    public void OrderSafe()
    {
        MakeSafe();
        Apply(new InterlockEvent.SafeOrdered("operator"));
    }

    public bool MayStart(SweepKind kind) =>
        _host is { Stage: LinkStage.Up, Run: RunStage.None } && _interlock.Trip is null
        && (kind != SweepKind.Positive || (_interlock.Permit is { } permit && Now < permit.EndsUtc));

    public void StartRun(SweepKind kind)
    {
        var number = Sweep.NumberOf(kind, _host.Chosen);
        Apply(new InterlockEvent.SweepArmed(Sweep.CeilingOf(number)));
        if (_interlock.Armed is null) return;
        _host = _host with { Chosen = number, Run = _host.SaysLatched ? RunStage.ReleasingFirst : RunStage.Energising, Stopping = false, Complaint = false, SwitchedOff = false };
        Ask(_host.SaysLatched ? new(HostSays.ReleaseFirst, _host.Latch) : new(HostSays.RailOn, 0));
    }

    public void StopRun()
    {
        _host.Stopping = true;
        Ask(new(HostSays.Stop, 0));
    }

    /// <summary>A step of time: what the ticker, the lane, the renewal and the silence of the link bring.</summary>
    public void Tick(TimeSpan step)
    {
        // A greeting has no end here; a host that greets holds nothing.
        if (_host.Introduced) _host.Silent++;
        if (_host.StatusAge <= World.LongestHold) _host.StatusAge++;
        if (_interlock.Permit is { } permit) _interlock = _interlock with { Permit = permit with { GrantedUtc = permit.GrantedUtc - step } };
        Apply(new InterlockEvent.Tick());
        ConsiderComplaint();
        if (_host.Silent >= Silence) Lose("nothing came");
        else if (!_host.InFlight.IsNone && _host.Attempts >= Attempts) Lose("not answered");
        else if (!_host.InFlight.IsNone) Lay();
        if (_host.Introduced) Renew();
        else Hello();
    }

    /// <summary>The port fails.</summary>
    public void Lose(string why)
    {
        ClearLane();
        Apply(new InterlockEvent.LinkLost(why));
        Greet();
    }

    public void Take(RigWord word, byte age, bool boot)
    {
        if (_host.Stage == LinkStage.Greeting)
        {
            if (word.Says != RigSays.Ack || word.RequestType != LinkMessages.Hello.Number || word.Session != _host.Session) return;
            (_host.Stage, _host.Silent, _host.Boot, _host.Latch, _host.StatusAge) = (LinkStage.Asking, 0, boot, Firing.Oldest, (byte)(World.LongestHold + 1));
            Renew();
            Ask(new(HostSays.AskStatus, 0));
            return;
        }
        _host.Silent = 0;
        switch (word.Says)
        {
            case RigSays.Ack or RigSays.Nack:
                if (word.Session == _host.Session && Matches(word)) Answered(word.Says == RigSays.Ack);
                break;
            case RigSays.Status:
                TakeStatus(word, age);
                break;
            case RigSays.ProgramEnd:
                if (word.Program == _host.Program && _host.Program != 0) PassEnded(word.Completed);
                break;
            case RigSays.Tripped:
                if (word.Session != _host.Session || word.Latch < _host.Latch) break;
                _host.Latch = word.Latch;
                TellTrip(word);
                break;
            case RigSays.Restarted:
                Apply(new InterlockEvent.RigRestarted(ResetReason.Watchdog));
                ClearLane();
                Greet();
                break;
            default:
                break;
        }
    }

    public void TakeBlock(RigWord word, BlockSummary block)
    {
        if (!_host.Introduced) return;
        _host.Silent = 0;
        if (word.Program == _host.Program && _host.Program != 0 && !_host.ProgramEnded) Apply(new InterlockEvent.Block(block));
    }

    private void TakeStatus(RigWord status, byte age)
    {
        if (status.Session != _host.Session || age > _host.StatusAge) return;
        _host.StatusAge = age;
        var connects = _host.Stage == LinkStage.Asking;
        _host.Stage = LinkStage.Up;
        _host.Latch = status.Latch;
        if (status.Program != 0 && status.Program == _host.Program && !status.Flags.HasFlag(StatusFlags.Running)) PassEnded(status.Flags.HasFlag(StatusFlags.Completed));
        var latched = status.Flags.HasFlag(StatusFlags.Latched);
        if (latched) TellTrip(status);
        if (connects) Apply(new InterlockEvent.LinkUp(limits));
        _host.SaysLatched = latched;
        Apply(new InterlockEvent.RigStatus(
            latched ? status.Cause : null, status.Flags.HasFlag(StatusFlags.CausePresent), status.Flags.HasFlag(StatusFlags.Running), status.Flags.HasFlag(StatusFlags.PlateRailOn)));
        ConsiderComplaint();
    }

    private void TellTrip(RigWord word)
    {
        if (word.Cause is TripCause.PowerUp or 0 || _host.Told == (_host.Boot, word.Latch)) return;
        _host.Told = (_host.Boot, word.Latch);
        Apply(new InterlockEvent.RigTripped(new(word.Cause, word.Cause != TripCause.HostOrder, "", "", Now, null)));
    }

    private void PassEnded(bool completed)
    {
        if (_host.ProgramEnded) return;
        _host.ProgramEnded = true;
        if (_host.Run != RunStage.Sweeping) return;
        if (!completed && !_host.Stopping)
        {
            _host.Complaint = true;
            return;
        }
        _host.Run = RunStage.Ending;
        Ask(new(HostSays.RailOff, 0));
    }

    private void ConsiderComplaint()
    {
        if (!_host.Complaint || _interlock.Trip is not null) return;
        _host.Complaint = false;
        Apply(new InterlockEvent.SafeOrdered("the rig did something unexpected"));
    }

    private void Apply(InterlockEvent happened)
    {
        var before = _interlock;
        var step = machine(before, happened, Now);
        Broken ??= StepInvariants.Broken(new(before, happened, step, Now));
        // Of a trip only its cause matters to what follows.
        _interlock = step.State.Trip is { } trip && trip != before.Trip
            ? step.State with { Trip = new(trip.Cause, trip.ByRig, "", "", Now, null) }
            : step.State;
        foreach (var order in step.Orders) Execute(order);
    }

    private void Execute(InterlockOrder order)
    {
        switch (order)
        {
            case InterlockOrder.MakeSafe:
                MakeSafe();
                break;
            case InterlockOrder.RecordTrip when _host.Run != RunStage.None:
                (_host.Run, _host.Complaint) = (RunStage.Closing, false);
                break;
            case InterlockOrder.Release when _host.Stage == LinkStage.Up:
                Ask(new(HostSays.Release, _host.Latch));
                break;
            case InterlockOrder.Release:
                Apply(new InterlockEvent.ReleaseAnswered(false));
                break;
            default:
                break;
        }
    }

    /// <summary>Safe goes before all that waits, and gives up what is in flight.</summary>
    private void MakeSafe()
    {
        if (_host.Stage != LinkStage.Up) return;
        var overtaken = _host.InFlight;
        if (overtaken.Says == HostSays.Safe) overtaken = default;
        else (_host.InFlight, _host.Attempts) = (default, 0);
        if (_host.Next.Says != HostSays.Safe) (_host.AfterNext, _host.Next) = (_host.Next, new(HostSays.Safe, 0));
        if (!overtaken.IsNone) Refused(overtaken);
        Send();
    }

    /// <summary>A run that tripped is closed once no order to be safe is left unanswered. Called when everything else of a turn is done.</summary>
    public void Settle()
    {
        if (_host.Run != RunStage.Closing || _host.SafePending) return;
        (_host.Run, _host.Stopping) = (RunStage.None, false);
        Apply(new InterlockEvent.SweepEnded());
    }

    private void Ask(Asked asked)
    {
        if (_host.Stage != LinkStage.Up && asked.Says != HostSays.AskStatus)
        {
            Refused(asked);
            return;
        }
        if (_host.Next.IsNone) _host.Next = asked;
        else _host.AfterNext = asked;
        Send();
    }

    /// <summary>The next request goes out when the one before has been answered.</summary>
    private void Send()
    {
        if (!_host.InFlight.IsNone || _host.Next.IsNone) return;
        (_host.InFlight, _host.Next, _host.AfterNext, _host.Attempts) = (_host.Next, _host.AfterNext, default, 0);
        Number();
    }

    private void Number()
    {
        _host.Sequence++;
        Lay();
    }

    private void Lay()
    {
        _host.Attempts++;
        _sent.Add(new(_host.InFlight.Says, _host.Sequence, _host.InFlight.Argument));
    }

    private bool Matches(RigWord word) =>
        !_host.InFlight.IsNone && word.Request == _host.Sequence && word.RequestType == HostWord.NumberOf(_host.InFlight.Says);

    private void Answered(bool good)
    {
        var asked = _host.InFlight;
        if (good && asked.Says is HostSays.ProgramBegin or HostSays.ProgramSegment && good)
        {
            if (asked.Says == HostSays.ProgramBegin) (_host.Program, _host.ProgramEnded) = (asked.Argument, false);
            _host.InFlight = new(asked.Says + 1, asked.Argument);
            _host.Attempts = 0;
            Number();
            return;
        }
        (_host.InFlight, _host.Attempts) = (default, 0);
        if (good) Done(asked);
        else Refused(asked);
        Send();
    }

    private void Done(Asked asked)
    {
        switch (asked.Says)
        {
            case HostSays.Release:
                _host.SaysLatched = false;
                Apply(new InterlockEvent.ReleaseAnswered(true));
                break;
            case HostSays.ReleaseFirst:
                if (_host.Run != RunStage.ReleasingFirst) break;
                (_host.SaysLatched, _host.Run) = (false, RunStage.Energising);
                Ask(new(HostSays.RailOn, 0));
                break;
            case HostSays.RailOn when _host.Run == RunStage.Energising:
                _host.Run = RunStage.Sweeping;
                Ask(new(HostSays.ProgramBegin, _host.Chosen));
                break;
            case HostSays.RailOff when _host.Run == RunStage.Ending:
                (_host.Run, _host.Stopping, _host.SwitchedOff) = (RunStage.None, false, true);
                Apply(new InterlockEvent.SweepEnded());
                break;
            default:
                break;
        }
    }

    private void Refused(Asked asked)
    {
        if (asked.Says == HostSays.Release) Apply(new InterlockEvent.ReleaseAnswered(false));
        if (asked.Says is HostSays.ProgramBegin or HostSays.ProgramSegment or HostSays.ProgramStart) _host.Program = 0;
        if (asked.Says is HostSays.AskStatus or HostSays.Safe or HostSays.Release or HostSays.Stop) return;
        if (_host.Run is not (RunStage.None or RunStage.Closing)) _host.Complaint = true;
    }

    private void ClearLane()
    {
        var (flying, next, later) = (_host.InFlight, _host.Next, _host.AfterNext);
        (_host.InFlight, _host.Next, _host.AfterNext, _host.Attempts) = (default, default, default, 0);
        // Nothing is asked of a rig that is not there, so that what is refused asks for nothing in its turn.
        _host.Stage = LinkStage.Greeting;
        foreach (var asked in new[] { flying, next, later })
            if (!asked.IsNone) Refused(asked);
    }

    private void Greet()
    {
        _host = _host with
        {
            Stage = LinkStage.Greeting, Session = (byte)(3 - _host.Session), Sequence = FarBehind, Program = 0, ProgramEnded = false, Silent = 0, Latch = Firing.Oldest, StatusAge = World.LongestHold + 1, SwitchedOff = false,
        };
        Hello();
    }

    private void Hello() => _sent.Add(new(HostSays.Hello, 0, _host.Session));

    private void Renew() => _sent.Add(new(HostSays.Renew, 0, _host.Session));
}
