using SweepRig.Domain;
using SweepRig.Domain.Logging;
using SweepRig.Service.Fits;
using SweepRig.Service.Rounds;
using SweepRig.Service.Stations;
using SweepRig.Service.Stock;
using SweepRig.Service.Watching;
using SweepRig.Storage;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Nights;

/// <summary>
/// The owner of the night of one rig. One task handles what people say, ends of steps and ticks, one message after another; the rig is reached through the one door, and a step
/// is done by a task of its own, whose end is another message. Every step is in the store before it is begun and again when it is done with.
/// </summary>
public sealed partial class NightDesk : IAsyncDisposable
{
    private static readonly TimeSpan TickEvery = TimeSpan.FromMilliseconds(250);

    /// <summary>A store that failed is tried again after this.</summary>
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(2);

    private readonly RigChoice _choice;
    private readonly TimeSpan _warmAfter;
    private readonly ISweepRunner _runner;
    private readonly RoundDesk? _round;
    private readonly NightStore _nights;
    private readonly StockStore _stock;
    private readonly TypeCatalogue _types;
    private readonly NightStepper _stepper;
    private readonly TimeProvider _time;
    private readonly RuleSettings _rules;
    private readonly ILogger _logger;
    private readonly IWatch? _watch;
    private readonly DeskTask _task;

    // Everything from here on belongs to the owner task, but for _picture, which it alone writes.
    private volatile NightPicture? _picture;

    /// <summary>Timestamp at which the night's time was <see cref="_baseAt"/>.</summary>
    private long _baseStamp;
    private TimeSpan _baseAt;

    /// <summary>Steps whose newest state is not in the store.</summary>
    private readonly SortedSet<int> _unsaved = [];
    private string? _storeFault;
    private long _storeTriedAt;
    private CancellationTokenSource? _step;
    private StoredNight? _toTakeUp;
    private bool _lookedForOld;
    private bool _progressed;

    /// <param name="choice">The rig's name and speed of heaters.</param>
    /// <param name="warmAfter">Time that a cathode is given.</param>
    /// <param name="round">The screening round of the same rig, which a night does not disturb; null for none.</param>
    public NightDesk(
        RigChoice choice, TimeSpan warmAfter, ISweepRunner runner, RoundDesk? round, RunStore runs, NightStore nights, StockStore stock, TypeCatalogue types, FigureShelf figures, Workbench workbench, RuleSettings rules, TimeProvider time,
        ILogger<NightDesk> logger, IWatch? watch = null)
    {
        (_choice, _warmAfter, _runner, _round, _nights, _stock, _types, _rules, _time, _logger, _watch) = (choice, warmAfter, runner, round, nights, stock, types, rules, time, logger, watch);
        _stepper = new(runner, runs, stock, figures, workbench, rules, time);
        _task = new(this, time, GoOnAsync, Failed);
    }

    /// <summary>The night under way, or the last one since the service started; null before the first.</summary>
    public NightPicture? Picture => _picture;

    /// <summary>How long ago the night began, by its own time.</summary>
    public TimeSpan At(NightPicture picture) => picture.IsOver ? _baseAt : _baseAt + _time.GetElapsedTime(_baseStamp);

    /// <summary>Looks for a night that an earlier process left under way, and goes on with it if its document says so. Call once.</summary>
    /// <param name="takesUp">False leaves such a night alone.</param>
    public void Start(bool takesUp = true)
    {
        if (takesUp) _task.Tick(TimeSpan.Zero, TickEvery);
    }

    public ValueTask DisposeAsync() => _task.DisposeAsync();

    private void Failed(Exception fault)
    {
        _logger.LogError(LogEvents.NightStepLost, fault, "A step of the night of {Rig} failed", _choice.Name);
        StoreFailed(fault);
    }

    private void StoreFailed(Exception fault) => (_storeFault, _storeTriedAt) = (fault.Message.ReplaceLineEndings(" "), _time.GetTimestamp());

    private void Publish(NightPicture picture)
    {
        _picture = picture with { Version = (_picture?.Version ?? 0) + 1 };
        _runner.Feed.Publish(new LiveUpdate.NightChanged(_picture.Version));
    }

    private NightPicture? Current() => _picture is { IsOver: false } picture ? picture : null;

    private static Outcome<NightPicture> No(Refusal refusal) => Outcome<NightPicture>.Refuse(refusal);
}
