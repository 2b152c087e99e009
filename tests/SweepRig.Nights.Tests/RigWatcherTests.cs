using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Nights;

/// <summary>A watcher that says nothing must mean that there is nothing to say: each unsafe state, planted, is seen.</summary>
public sealed class RigWatcherTests
{
    private const int Safe = 0;
    private const long Lease = 300_000, Second = 1_000_000;

    private readonly RenewalHistory _renewals;
    private readonly RigWatcher _watcher;
    private long _now;

    public RigWatcherTests()
    {
        _renewals = new(() => _now);
        _watcher = new("rig-1", Safe, Lease, 26, 0.012, _renewals);
    }

    [Fact]
    public void A_drive_that_is_released_renewed_and_ended_is_nothing()
    {
        Permit(5);
        Renew([.. Enumerable.Range(0, 11).Select(i => i * 100_000L)]);
        Judge(Released(900), Drive(1_000, 400, 2), Drive(Second, Safe, -16));
        Assert.Empty(_watcher.Unsafe);
    }

    [Fact]
    public void Drive_behind_a_fired_latch_is_seen() => Expect("behind a fired latch", () =>
    {
        Renew(0, 2 * Second);
        Judge(Released(900), new(1_000, JournalKind.Tripped, Cause: TripCause.GridCurrent), Drive(1_100, 100, -3), Drive(1_200, Safe, -16));
    });

    [Fact]
    public void A_rig_that_starts_is_latched() => Expect("behind a fired latch", () =>
    {
        Renew(0, 2 * Second);
        Judge(new JournalEntry(1_000, JournalKind.PlateRailSet, 1, 28), new(1_100, JournalKind.PlateRailSet));
    });

    [Fact]
    public void Drive_above_zero_without_a_permit_is_seen() => Expect("0 V was permitted", () =>
    {
        Renew(0, 2 * Second);
        Judge(Released(900), Drive(1_000, 400, 0.5), Drive(1_200, Safe, -16));
    });

    [Fact]
    public void Drive_above_the_permit_is_seen() => Expect("2 V was permitted", () =>
    {
        Permit(2);
        Renew(0, 2 * Second);
        Judge(Released(900), Drive(1_000, 400, 2.1), Drive(1_200, Safe, -16));
    });

    [Fact]
    public void Drive_long_after_its_permit_is_seen() => Expect("0 V was permitted", () =>
    {
        Permit(2);
        Renew(0, 2 * Second);
        _now = Second;
        _watcher.SeeBench(null, false, _now);
        Judge(Released(900), Drive(Second + Lease + 10, 400, 1), Drive(Second + Lease + 20, Safe, -16));
    });

    [Fact]
    public void Drive_above_the_ceiling_of_the_rig_is_seen() => Expect("above the rig's ceiling", () =>
    {
        Permit(40);
        Renew(0, 2 * Second);
        Judge(Released(900), Drive(1_000, 4000, 26.5), Drive(1_200, Safe, -16));
    });

    [Fact]
    public void Drive_that_outlasts_its_lease_is_seen() => Expect("the lease had run out", () =>
    {
        Renew(0, 2 * Second);
        Judge(Released(900), Drive(1_000, 100, -3), Drive(Second, Safe, -16));
    });

    [Fact]
    public void A_drive_that_never_ends_is_seen_while_it_goes_on() => Expect("the lease had run out", () =>
    {
        Renew(0);
        _now = Second;
        Judge(Released(900), Drive(1_000, 100, -3));
    });

    [Fact]
    public void Drive_under_a_trip_of_the_bench_is_seen() => Expect("the bench tripped", () =>
    {
        Renew([.. Enumerable.Range(0, 20).Select(i => i * 100_000L)]);
        _now = 1_000;
        Judge(Released(900), Drive(1_000, 100, -3));
        _watcher.SeeBench(null, true, _now);
        _now = Second;
        Judge();
    });

    private static JournalEntry Drive(long at, int code, double volts) => new(at, JournalKind.DriveWritten, code, volts);

    private static JournalEntry Released(long at) => new(at, JournalKind.Released);

    private void Expect(string what, Action plant)
    {
        plant();
        Assert.Contains(_watcher.Unsafe, u => u.Contains(what, StringComparison.Ordinal));
    }

    private void Permit(double ceiling) => _watcher.SeeBench(new(Guid.NewGuid(), new Volts(ceiling), TimeSpan.FromMinutes(1), "test", default), false, _now);

    private void Judge(params JournalEntry[] entries) => _watcher.Judge(entries, Math.Max(_now, entries.Length > 0 ? entries[^1].AtMicroseconds : 0));

    private void Renew(params long[] at)
    {
        var before = _now;
        Hear(new Hello(7));
        foreach (var one in at)
        {
            _now = one;
            Hear(new Renew(7));
        }
        _now = before;
    }

    private void Hear<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        var bytes = new byte[LinkProtocol.MaxWireBytes];
        _renewals.Hear(bytes.AsMemory(0, FrameWriter.Write(message, 0, bytes)));
    }
}
