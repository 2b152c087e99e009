using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class AlarmLaneTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2026, 11, 26, 2, 0, 0, TimeSpan.Zero);
    private static readonly AlarmWay Way = new AlarmWay.Command("bell", TimeSpan.FromSeconds(10), "/bin/ring", []);

    private readonly TemporaryData _data = new();
    private readonly FakeTimeProvider _time = new(Start);
    private readonly List<string> _givenUp = [];
    private readonly List<Guid> _sent = [];
    private Func<AlarmFailedException?> _answer = () => null;
    private int _tries;

    public void Dispose() => _data.Dispose();

    private AlarmJournal Journal() => new(_data.Path, NullLogger.Instance);

    private AlarmLane Lane(AlarmJournal journal) => new(Way, SendAsync, journal, (_, message, why) => { lock (_givenUp) _givenUp.Add($"{message.Subject} {why}"); }, _time);

    [Fact]
    public async Task What_was_not_taken_is_tried_again_until_it_is_and_what_comes_after_keeps_its_order()
    {
        var journal = Journal();
        _answer = () => _tries <= 3 ? new AlarmFailedException("busy", isFinal: false) : null;
        await using var lane = Lane(journal);
        AlarmMessage[] messages = [Message(1), Message(2)];
        foreach (var message in messages) lane.Post(message);
        await PassAsync(() => journal.Done.Count == 2);
        Assert.Equal(messages.Select(m => m.Id), _sent);
        Assert.Equal((4, (string?)null), (journal.Done[0].Tries, journal.Done[0].Fault));
        Assert.Empty(journal.Pending);
    }

    [Fact]
    public async Task A_final_refusal_is_given_up_at_once_and_told()
    {
        var journal = Journal();
        _answer = () => new AlarmFailedException("answered 404", isFinal: true);
        await using var lane = Lane(journal);
        lane.Post(Message(1));
        await Eventually.HoldsAsync("it is given up", () => journal.Done.Count == 1 && _givenUp.Count == 1);
        Assert.Equal((1, "answered 404"), (_tries, journal.Done[0].Fault));
        Assert.Contains("answered 404", _givenUp[0], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_way_that_never_answers_is_given_up_after_some_hours()
    {
        var journal = Journal();
        _answer = () => new AlarmFailedException("no answer", isFinal: false);
        await using var lane = Lane(journal);
        lane.Post(Message(1));
        await PassAsync(() => journal.Done.Count == 1);
        Assert.Equal(14, journal.Done[0].Tries);
        // How long at most cannot be said here: time passes while the lane is at work, too.
        Assert.True(_time.GetUtcNow() - Start > TimeSpan.FromHours(1));
    }

    [Fact]
    public async Task It_waits_as_long_as_the_other_side_asks()
    {
        var journal = Journal();
        _answer = () => _tries == 1 ? new AlarmFailedException("busy", isFinal: false, TimeSpan.FromMinutes(7)) : null;
        await using var lane = Lane(journal);
        lane.Post(Message(1));
        await Eventually.HoldsAsync("the first attempt has failed", () => journal.Pending is [{ Tries: 1 }]);
        await PassAsync(() => journal.Done.Count == 1);
        Assert.True(_time.GetUtcNow() - Start >= TimeSpan.FromMinutes(7));
        Assert.Equal(2, _tries);
    }

    [Fact]
    public async Task What_waits_when_the_service_ends_goes_out_when_it_starts_again()
    {
        var message = Message(1);
        _answer = () => new AlarmFailedException("no answer", isFinal: false);
        await using (var before = Lane(Journal()))
        {
            before.Post(message);
            await Eventually.HoldsAsync("it was tried", () => Volatile.Read(ref _tries) > 0);
        }
        _answer = () => null;
        var journal = Journal();
        Assert.Equal(message.Subject, Assert.Single(journal.Pending).Message.Subject);
        await using var lane = Lane(journal);
        await Eventually.HoldsAsync("it is delivered", () => journal.Done.Count == 1);
        Assert.Equal([message.Id], _sent);
        // In memory a moment before it is on disk.
        await Eventually.HoldsAsync("the file says so", () => Journal().Pending.Count == 0);
    }

    [Fact]
    public async Task An_attempt_that_hangs_ends_with_its_time()
    {
        var hangs = AlarmLane.AttemptAsync((_, _, cancellation) => new TaskCompletionSource().Task.WaitAsync(cancellation), Way, Message(1), _time, TestContext.Current.CancellationToken);
        _time.Advance(Way.Timeout);
        Assert.Equal("/bin/ring did not answer within 10 s", (await Assert.ThrowsAsync<AlarmFailedException>(() => hangs)).Message);
    }

    [Fact]
    public void A_damaged_journal_is_begun_anew()
    {
        File.WriteAllText(_data.File(AlarmJournal.FileName), "{ \"pending\": [");
        Assert.Empty(Journal().Pending);
    }

    /// <summary>Lets time pass in small steps until a condition holds; each step gives the lane time to begin its pause.</summary>
    private Task PassAsync(Func<bool> until) => Eventually.HoldsAsync("the lane has done", () =>
    {
        if (until()) return true;
        _time.Advance(TimeSpan.FromMinutes(1));
        return until();
    });

    private Task SendAsync(AlarmWay way, AlarmMessage message, CancellationToken cancellationToken)
    {
        Interlocked.Increment(ref _tries);
        if (_answer() is { } failure) throw failure;
        lock (_sent) _sent.Add(message.Id);
        return Task.CompletedTask;
    }

    private static AlarmMessage Message(int i) => new(Guid.CreateVersion7(Start), Start, [new(BenchEvent.Of(Start, "north", EventSeverity.Alarm, EventKind.Trip, $"Event {i}."), 0)]);
}
