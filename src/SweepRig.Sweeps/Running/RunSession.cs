using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Running;

internal enum RunStage
{
    /// <summary>The record is being opened.</summary>
    Beginning,

    /// <summary>Waiting to hear from the rig what state it is in.</summary>
    AwaitingStatus,

    /// <summary>Latch, limits and heater are being set.</summary>
    Preparing,
    Warming,

    /// <summary>The supplies of the pass are being set.</summary>
    Energising,
    RailSettling,
    Sweeping,

    /// <summary>The drives of the next pass are being chosen, elsewhere; the drive is at its safe end meanwhile.</summary>
    Choosing,

    /// <summary>The plate rail is being switched off.</summary>
    Finishing,

    /// <summary>The end goes on record.</summary>
    Closing,
}

/// <summary>What the owner task knows of the run under way. Touched by that task alone.</summary>
/// <param name="program">What the rig is to do.</param>
/// <param name="header">What goes on record before the first sample.</param>
/// <param name="viewers">Who is told of it.</param>
internal sealed class RunSession(SweepProgram program, RunHeader header, LiveFeed viewers)
{
    /// <summary>Extra rounds for lost points before they become gaps.</summary>
    public const int MaxRounds = 2;

    public RunHeader Header => header;

    public LiveFeed Viewers => viewers;

    /// <summary>Null for a hold.</summary>
    public RunTrace? Trace { get; init; }

    /// <summary>The point that is held, when this is no run but a hold for a meter.</summary>
    public HoldSession? Hold { get; init; }

    /// <summary>The pass begins as soon as its supplies stand, warm or not, and points that get lost are not measured again: what it watches goes by.</summary>
    public bool IsWatch { get; init; }

    private readonly PassProgram[] _passes = [.. program.Passes];

    public IReadOnlyList<PassProgram> Passes => _passes;

    /// <summary>What was measured so far, of an adaptive sweep alone.</summary>
    public List<SampleBlock> Measured { get; } = [];

    /// <summary>What the last choice said of the switching point; null before the first and for other sweeps.</summary>
    public ChosenDrives? Choice { get; set; }

    public PlannedRun Planned => program.Run;

    public RunStage Stage { get; private set; } = RunStage.Beginning;

    /// <summary>Changes with the stage; an answer to an earlier question is recognised by it and dropped.</summary>
    public int Turn { get; private set; }

    public int PassIndex { get; set; }

    public PassProgram Pass => Passes[PassIndex];

    /// <summary>Puts the drives chosen in the place of those that the next pass was planned with.</summary>
    public void Next(PassProgram chosen) => _passes[++PassIndex] = chosen;

    public PassTracker Tracker { get; set; } = new(program.Passes[0].Program);

    /// <summary>Programs still to run for lost points.</summary>
    public Queue<RigProgram> Again { get; } = new();

    public int Rounds { get; set; }

    public RecordingPump? Recording { get; set; }

    /// <summary>Blocks that wait until the rig is known to be safe: safe first, then recorded, then shown.</summary>
    public List<MeasuredBlock> Held { get; } = [];

    public List<Gap> Gaps { get; } = [];

    /// <summary>Samples on record.</summary>
    public long Recorded { get; set; }

    public bool Stopping { get; set; }

    /// <summary>Final state instead of the usual one, when the process or the recording ends before the run.</summary>
    public RunState? FinalInstead { get; set; }

    /// <summary>Viewers have been told of the start.</summary>
    public bool Announced { get; set; }

    /// <summary>The end was handed to the recording; nothing more is written.</summary>
    public bool EndQueued { get; set; }

    /// <summary>The trip that ends this run.</summary>
    public Trip? Trip { get; set; }

    /// <summary>What the rig refused, while it is not yet known whether a trip stands behind it.</summary>
    public string? Complaint { get; set; }

    public long ComplainedAt { get; set; }

    /// <summary>When the supplies of the pass were set, host timestamp.</summary>
    public long RailSetAt { get; set; }

    public double LastSupply { get; set; } = double.NaN;

    /// <summary>The rig has said that it runs the program. Sending one takes many requests, which a bad line makes long.</summary>
    public bool ProgramStarted { get; set; }

    /// <summary>Statuses in a row that say that nothing runs, during a pass.</summary>
    public int IdleStatuses { get; set; }

    public TaskCompletionSource<RunState> Ended { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public bool IsEnding => Stage is RunStage.Finishing or RunStage.Closing;

    public void Enter(RunStage stage)
    {
        Stage = stage;
        Turn++;
    }
}
