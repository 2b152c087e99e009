using System.Collections.Immutable;
using SweepRig.Domain;
using SweepRig.Domain.Logging;
using SweepRig.Service.Fits;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Rounds;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Rounds;

/// <summary>
/// The owner of a screening round. One task handles what the operator says, ends of sweeps, looks at curves and ticks, one message after another; the rig is
/// reached through the one door. A round outlives every page and command that looks at it. What it found is in the stock as soon as it is found, so a round that
/// was cut short goes on by beginning one anew: it asks for the tubes that are still new.
/// </summary>
public sealed partial class RoundDesk : IAsyncDisposable
{
    private static readonly TimeSpan TickEvery = TimeSpan.FromMilliseconds(100);

    /// <summary>Something that failed is tried again after this.</summary>
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(1);

    private readonly ISweepRunner _runner;
    private readonly RunStore _runs;
    private readonly StockStore _stock;
    private readonly TypeCatalogue _types;
    private readonly Workbench _workbench;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly IHands? _hands;
    private readonly DeskTask _task;

    // Everything from here on belongs to the owner task, but for _picture, which it alone writes.
    private volatile RoundPicture? _picture;
    private ImmutableDictionary<int, Judgement> _judged = ImmutableDictionary<int, Judgement>.Empty;
    private string? _fault;
    private long _retryAt;
    private bool _onlyNew;
    private (string? Label, long At) _looked;

    public RoundDesk(ISweepRunner runner, RunStore runs, StockStore stock, TypeCatalogue types, Workbench workbench, TimeProvider time, ILogger<RoundDesk> logger, IHands? hands = null)
    {
        (_runner, _runs, _stock, _types, _workbench, _time, _logger, _hands) = (runner, runs, stock, types, workbench, time, logger, hands);
        _task = new(this, time, GoOnAsync, Failed);
    }

    /// <summary>What else has the rig for longer than a sweep; null, or what it gives is null, for nothing.</summary>
    public Func<string?>? HasTheRig { get; set; }

    /// <summary>The round under way, or the last one; null before the first.</summary>
    public RoundPicture? Picture => _picture;

    public TimeSpan Since(RoundPicture picture) => _time.GetElapsedTime(picture.BeganAt);

    public Task<Outcome<RoundPicture>> BeginAsync(RoundWish wish, CancellationToken cancellationToken) => _task.AskAsync(() => BeginRoundAsync(wish), cancellationToken);

    /// <summary>What the operator typed or scanned.</summary>
    public Task<Outcome<RoundPicture>> EnterAsync(string text, CancellationToken cancellationToken) => _task.AskAsync(() => EnterLineAsync(text), cancellationToken);

    /// <summary>Ends the round; tubes that were not swept stay new.</summary>
    public Task<Outcome<RoundPicture>> EndAsync(CancellationToken cancellationToken) => _task.AskAsync(EndRoundAsync, cancellationToken);

    public ValueTask DisposeAsync() => _task.DisposeAsync();

    private void Failed(Exception fault)
    {
        // A store that went away, above all: told to the operator, and tried again.
        _logger.LogError(LogEvents.RoundStepFailed, fault, "A step of the round failed");
        Fail(fault.Message);
    }

    private void Fail(string why)
    {
        (_fault, _retryAt) = (why.ReplaceLineEndings(" "), _time.GetTimestamp());
        if (_picture is { IsOver: false, Round.HeldBecause: null }) Apply(new RoundEvent.Held(_fault));
    }

    /// <summary>An event that the round cannot refuse.</summary>
    private void Apply(RoundEvent happened)
    {
        var after = _picture!.Round.After(happened, Since(_picture));
        if (!after.IsAccepted) throw new InvalidOperationException($"SweepRig bug: a round refuses {happened.GetType().Name}: {after.Refusals[0]}");
        Publish(_picture with { Round = after.Value });
    }

    private void Publish(RoundPicture picture)
    {
        _picture = picture with { Version = picture.Version + 1 };
        _runner.Feed.Publish(new LiveUpdate.RoundChanged(_picture.Version));
    }
}
