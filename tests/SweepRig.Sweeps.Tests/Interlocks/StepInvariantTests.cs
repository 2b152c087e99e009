using CsCheck;
using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>The invariants of one step: the machine keeps them everywhere, and each is broken by a machine that is wrong in its way.</summary>
public sealed class StepInvariantTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Every_state_with_every_event_keeps_them()
    {
        foreach (var (state, before) in InterlockTableTests.States)
            foreach (var (name, happened) in InterlockTableTests.Events)
                foreach (var now in new[] { Now, Now.AddHours(1) })
                {
                    var broken = StepInvariants.Broken(new(before, happened, InterlockMachine.Next(before, happened, now), now));
                    // The table's states hold a permit that has run out an hour later, which is how a real one is met too.
                    Assert.True(broken is null, $"{state} / {name} breaks {broken?.Name}: {broken?.Statement}");
                }
    }

    [Fact]
    public void Any_sequence_keeps_them() => InterlockPropertyTests.Steps.Sample(steps =>
    {
        var (state, now) = (InterlockState.Initial, Now);
        foreach (var (happened, seconds) in steps)
        {
            now = now.AddSeconds(seconds);
            var given = happened is InterlockEvent.PermitGranted granted ? new InterlockEvent.PermitGranted(granted.Permit with { GrantedUtc = now }) : happened;
            var step = InterlockMachine.Next(state, given, now);
            var broken = StepInvariants.Broken(new(state, given, step, now));
            Assert.True(broken is null, $"{given} breaks {broken?.Name}: {broken?.Statement}");
            state = step.State;
        }
        return true;
    });

    [Fact]
    public void Each_has_a_name_of_its_own_a_statement_and_a_practice()
    {
        var all = StepInvariants.All.Select(i => (i.Name, i.Statement, i.Practice))
            .Concat(BenchInvariants.All.Select(i => (i.Name, i.Statement, i.Practice)))
            .Concat(LatchInvariants.All.Select(i => (i.Name, i.Statement, i.Practice))).ToList();
        Assert.Equal(all.Count, all.Select(i => i.Name).Distinct().Count());
        Assert.All(all, i => Assert.True(i.Statement.Length > 20 && i.Practice.Length > 20, i.Name));
    }

    /// <summary>One wrong step a row: what it starts from, what happens, how the right step is spoilt, and the invariant that says so.</summary>
    public static TheoryData<string, string, string, string> WrongSteps => new()
    {
        { "safe-comes-first", "sweeping negative", "rig trip", "orders turned round" },
        { "safe-comes-first", "clear", "safe", "no orders" },
        { "trip-is-recorded", "sweeping negative", "rig trip", "safe only" },
        { "trip-is-recorded", "tripped", "safe", "recorded again" },
        { "first-cause-stays", "tripped", "tick", "other cause" },
        { "release-is-answered", "tripped, cause gone", "tick", "healed" },
        { "release-is-answered", "releasing", "not released", "healed" },
        { "release-restarts-nothing", "releasing", "released", "armed" },
        { "acknowledged-by-an-edge", "tripped, gone, held", "press", "release asked" },
        { "acknowledged-when-gone", "tripped, cause present", "press", "release asked" },
        { "acknowledged-when-gone", "tripped, run open", "press", "release asked" },
        { "acknowledged-when-gone", "tripped", "press", "release asked" },
        { "release-is-ordered", "tripped, cause gone", "press", "no orders" },
        { "armed-within-the-ceiling", "clear", "arm 24", "armed" },
        { "armed-by-asking", "permitted", "tick", "armed" },
        { "armed-means-linked", "sweeping negative", "link lost", "not tripped" },
        { "permit-by-grant", "clear", "tick", "permit" },
        { "drive-above-is-noticed", "sweeping negative", "a little positive", "nothing done" },
        { "drive-above-is-noticed", "sweeping positive", "ceiling", "nothing done" },
        { "lost-link-trips", "clear", "link lost", "not tripped" },
        { "rig-is-heeded", "clear", "status latched", "nothing done" },
        { "rig-is-heeded", "no link", "rig trip", "nothing done" },
        { "safe-is-repeated", "tripped", "status running", "no orders" },
        { "safe-is-repeated", "tripped", "status rail on", "no orders" },
        { "safe-is-repeated", "tripped, no link", "link up", "no orders" },
    };

    [Theory]
    [MemberData(nameof(WrongSteps))]
    public void A_wrong_step_breaks_the_invariant_that_speaks_of_it(string invariant, string stateName, string eventName, string spoilt)
    {
        var (before, happened) = (InterlockTableTests.States[stateName], InterlockTableTests.Events[eventName]);
        var right = InterlockMachine.Next(before, happened, Now);
        var moment = new InterlockMoment(before, happened, Spoil(right, before, spoilt), Now);
        var all = StepInvariants.All.Where(i => !i.Holds(moment)).Select(i => i.Name);
        Assert.Contains(invariant, all);
        Assert.Equal(all.First(), StepInvariants.Broken(moment)?.Name);
    }

    [Fact]
    public void A_permit_held_beyond_its_time_breaks_its_invariant()
    {
        var before = InterlockTableTests.States["permitted"];
        var later = before.Permit!.EndsUtc;
        Assert.Equal("permit-is-live", StepInvariants.Broken(new(before, new InterlockEvent.Tick(), new(before, []), later))?.Name);
    }

    /// <summary>States that the machine does not come to: the invariants do not lean on that.</summary>
    [Fact]
    public void A_release_without_a_link_and_one_without_a_trip_break_their_invariants()
    {
        var unlinked = InterlockTableTests.States["releasing"] with { Limits = null };
        Assert.Contains("release-is-answered", Broken(new(unlinked, InterlockTableTests.Events["released"], new(unlinked with { Trip = null, Releasing = false }, []), Now)));
        var untripped = InterlockTableTests.States["tripped, cause gone"] with { Trip = null };
        Assert.Contains("acknowledged-when-gone", Broken(new(untripped, InterlockTableTests.Events["press"], new(untripped with { Releasing = true }, [new InterlockOrder.Release()]), Now)));

        static IEnumerable<string> Broken(InterlockMoment moment) => StepInvariants.All.Where(i => !i.Holds(moment)).Select(i => i.Name);
    }

    internal static InterlockStep Spoil(InterlockStep right, InterlockState before, string how)
    {
        var trip = before.Trip ?? right.State.Trip;
        return how switch
        {
            "orders turned round" => right with { Orders = [.. right.Orders.Reverse()] },
            "no orders" => right with { Orders = [] },
            "safe only" => right with { Orders = [new InterlockOrder.MakeSafe()] },
            "recorded again" => right with { Orders = [.. right.Orders, new InterlockOrder.RecordTrip(trip!)] },
            "other cause" => right with { State = right.State with { Trip = trip! with { Cause = TripCause.PositiveTime } } },
            "healed" => right with { State = right.State with { Trip = null } },
            "armed" => right with { State = right.State with { Armed = 24 } },
            "release asked" => new(right.State with { Releasing = true }, [new InterlockOrder.Release()]),
            "not tripped" => right with { State = right.State with { Trip = null } },
            "permit" => right with { State = right.State with { Permit = InterlockTableTests.States["permitted"].Permit } },
            "nothing done" => new(before, []),
            "armed at 0 V" => right with { State = right.State with { Armed = 0 } },
            "not armed" => right with { State = right.State with { Armed = null } },
            "link forgotten" => right with { State = right.State with { Limits = null } },
            "permit kept" => right with { State = right.State with { Permit = before.Permit } },
            "permit longer" => right with { State = right.State with { Permit = before.Permit is { } permit ? permit with { Duration = permit.Duration + TimeSpan.FromHours(1) } : null } },
            "permit shorter" => right with { State = right.State with { Permit = before.Permit is { } permit ? permit with { Duration = permit.Duration - TimeSpan.FromSeconds(30) } : null } },
            "permit for more" => right with { State = right.State with { Permit = before.Permit is { } permit ? permit with { Duration = TimeSpan.FromMinutes(2), Ceiling = new(25) } : null } },
            "waits for a release" => right with { State = right.State with { Releasing = true } },
            "safe as well" => right with { Orders = [.. right.Orders, new InterlockOrder.MakeSafe()] },
            "another trip on record" => right with { Orders = [.. right.Orders.Select(o => o is InterlockOrder.RecordTrip ? new InterlockOrder.RecordTrip(trip! with { Cause = TripCause.PositiveTime }) : o)] },
            "attended limits" => right with { State = right.State with { IsUnattended = false } },
            "as it is" => right,
            _ => throw new ArgumentOutOfRangeException(nameof(how), how, "unknown"),
        };
    }
}
