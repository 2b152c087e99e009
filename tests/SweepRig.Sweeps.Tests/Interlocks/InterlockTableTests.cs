using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Every state against every event: what is ordered, and what the state is afterwards.</summary>
public sealed class InterlockTableTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);
    private static readonly HostLimits Limits = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig));
    private static readonly HostLimits Tight = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig), unattended: true);
    private static readonly BlockSummary GoodBlock = new(-1, -1, 1e-6, 2e-3, 27.9, 28.1);
    private static readonly Permit Permit = new(Guid.Empty, new(24), TimeSpan.FromMinutes(5), "table", Now.AddMinutes(-1));
    private static readonly Trip First = new(TripCause.GridCurrent, true, "9 mA", "8 mA", Now, null);

    private static readonly InterlockState Clear = InterlockState.Initial with { Limits = Limits };
    private static readonly InterlockState Tripped = Clear with { Trip = First };

    public static IReadOnlyDictionary<string, InterlockState> States { get; } = new Dictionary<string, InterlockState>
    {
        ["no link"] = InterlockState.Initial,
        ["clear"] = Clear,
        ["permitted"] = Clear with { Permit = Permit },
        ["sweeping negative"] = Clear with { Armed = 0 },
        ["sweeping positive"] = Clear with { Permit = Permit, Armed = 24 },
        ["unattended"] = Clear with { Permit = Permit, IsUnattended = true, UnattendedLimits = Tight },
        ["tripped"] = Tripped,
        ["tripped, run open"] = Tripped with { Armed = 0, StatusSinceTrip = true },
        ["tripped, cause present"] = Tripped with { StatusSinceTrip = true, RigCausePresent = true },
        ["tripped, cause gone"] = Tripped with { StatusSinceTrip = true },
        ["tripped, gone, held"] = Tripped with { StatusSinceTrip = true, AcknowledgeHeld = true },
        ["releasing"] = Tripped with { StatusSinceTrip = true, Releasing = true, AcknowledgeHeld = true },
        ["tripped, no link"] = Tripped with { Limits = null },
    };

    public static IReadOnlyDictionary<string, InterlockEvent> Events { get; } = new Dictionary<string, InterlockEvent>
    {
        ["link up"] = new InterlockEvent.LinkUp(Limits),
        ["new calibration"] = new InterlockEvent.LimitsChanged(Limits),
        ["link lost"] = new InterlockEvent.LinkLost("cable"),
        ["restart"] = new InterlockEvent.RigRestarted(ResetReason.Watchdog),
        ["rig trip"] = new InterlockEvent.RigTripped(First with { Cause = TripCause.CathodeCurrent }),
        ["power up"] = new InterlockEvent.RigTripped(First with { Cause = TripCause.PowerUp }),
        ["status clear"] = new InterlockEvent.RigStatus(null, false),
        ["status power up"] = new InterlockEvent.RigStatus(TripCause.PowerUp, false),
        ["status latched"] = new InterlockEvent.RigStatus(TripCause.LeaseExpired, false),
        ["status cause present"] = new InterlockEvent.RigStatus(TripCause.LeaseExpired, true),
        ["status running"] = new InterlockEvent.RigStatus(null, false, Running: true),
        ["status rail on"] = new InterlockEvent.RigStatus(null, false, RailOn: true),
        ["good block"] = new InterlockEvent.Block(GoodBlock),
        ["ceiling"] = new InterlockEvent.Block(GoodBlock with { MaxDrive = 25 }),
        ["a little positive"] = new InterlockEvent.Block(GoodBlock with { MaxDrive = 0.01 }),
        ["read back"] = new InterlockEvent.Block(GoodBlock with { MaxReadBack = 30 }),
        ["grid current"] = new InterlockEvent.Block(GoodBlock with { MaxGridCurrent = 8.1e-3 }),
        ["cathode current"] = new InterlockEvent.Block(GoodBlock with { MaxCathodeCurrent = 31e-3 }),
        ["supply high"] = new InterlockEvent.Block(GoodBlock with { MaxSupply = 45 }),
        ["supply low"] = new InterlockEvent.Block(GoodBlock with { MinSupply = -5 }),
        ["rail off"] = new InterlockEvent.RailOff("3 V", "28 V"),
        ["disk full"] = new InterlockEvent.RecordingFailed("full"),
        ["permit"] = new InterlockEvent.PermitGranted(Permit with { Id = Guid.NewGuid() }),
        ["low permit"] = new InterlockEvent.PermitGranted(Permit with { Id = Guid.NewGuid(), Ceiling = new(1) }),
        ["dead permit"] = new InterlockEvent.PermitGranted(Permit with { GrantedUtc = Now.AddHours(-1) }),
        ["permit ended"] = new InterlockEvent.PermitEnded(),
        ["left alone"] = new InterlockEvent.Attendance(true),
        ["looked after"] = new InterlockEvent.Attendance(false),
        ["6.5 mA of grid current"] = new InterlockEvent.Block(GoodBlock with { MaxGridCurrent = 6.5e-3 }),
        ["tick"] = new InterlockEvent.Tick(),
        ["safe"] = new InterlockEvent.SafeOrdered("operator"),
        ["press"] = new InterlockEvent.AcknowledgeInput(true),
        ["let go"] = new InterlockEvent.AcknowledgeInput(false),
        ["released"] = new InterlockEvent.ReleaseAnswered(true),
        ["not released"] = new InterlockEvent.ReleaseAnswered(false),
        ["arm 0"] = new InterlockEvent.SweepArmed(0),
        ["arm 24"] = new InterlockEvent.SweepArmed(24),
        ["ended"] = new InterlockEvent.SweepEnded(),
    };

    /// <summary>Events that fire an untripped, linked state whatever else holds, with their cause.</summary>
    private static readonly Dictionary<string, TripCause> Fires = new()
    {
        ["link lost"] = TripCause.LinkLost,
        ["restart"] = TripCause.RigRestarted,
        ["rig trip"] = TripCause.CathodeCurrent,
        ["status latched"] = TripCause.LeaseExpired,
        ["status cause present"] = TripCause.LeaseExpired,
        ["ceiling"] = TripCause.HostCeiling,
        ["read back"] = TripCause.HostCeiling,
        ["grid current"] = TripCause.HostGridCurrent,
        ["cathode current"] = TripCause.HostCathodeCurrent,
        ["supply high"] = TripCause.HostSupplyRange,
        ["supply low"] = TripCause.HostSupplyRange,
        ["rail off"] = TripCause.HostSupplyRange,
        ["disk full"] = TripCause.RecordingFailed,
        ["safe"] = TripCause.HostOrder,
    };

    public static TheoryData<string, string> Pairs
    {
        get
        {
            var data = new TheoryData<string, string>();
            foreach (var state in States.Keys)
                foreach (var happened in Events.Keys) data.Add(state, happened);
            return data;
        }
    }

    [Theory]
    [MemberData(nameof(Pairs))]
    public void A_state_and_an_event_give_the_trip_and_the_orders_of_the_table(string stateName, string eventName)
    {
        var state = States[stateName];
        var (after, orders) = InterlockMachine.Next(state, Events[eventName], Now);

        var cause = ExpectedCause(stateName, eventName);
        Assert.Equal(cause, after.Trip?.Cause);
        var newTrip = state.Trip is null && cause is not null;
        Assert.Equal(newTrip, orders.OfType<InterlockOrder.RecordTrip>().Any());
        // Safe is ordered on every new trip, on every order of the operator, and when something fires into a release; always first.
        var intoRelease = stateName == "releasing" && (eventName is "rig trip" or "restart" or "rail off" or "disk full");
        // And whenever a tripped rig is heard of anew, or is not at rest.
        var again = state.IsTripped && (eventName == "link up" || (state.LinkIsUp && eventName is ("status running" or "status rail on")));
        Assert.Equal(newTrip || eventName == "safe" || intoRelease || again, orders.OfType<InterlockOrder.MakeSafe>().Any());
        if (orders.OfType<InterlockOrder.MakeSafe>().Any()) Assert.IsType<InterlockOrder.MakeSafe>(orders[0]);
        // Only the way down of the button, with the cause gone, asks for a release.
        Assert.Equal(stateName == "tripped, cause gone" && eventName == "press", orders.OfType<InterlockOrder.Release>().Any());
        if (newTrip)
        {
            Assert.Equal(after.Trip, orders.OfType<InterlockOrder.RecordTrip>().Single().Trip);
            Assert.IsType<InterlockOrder.Announce>(orders[^1]);
            Assert.Null(after.AllowedDrive(Now));
        }
    }

    private static TripCause? ExpectedCause(string state, string happened)
    {
        if (state == "releasing" && happened == "released") return null;
        if (States[state].IsTripped) return First.Cause;
        if (state == "no link")
        {
            // Nothing is measured and nothing can be lost, but what is reported or ordered still latches.
            return happened switch
            {
                "restart" => TripCause.RigRestarted,
                "rig trip" => TripCause.CathodeCurrent,
                "rail off" => TripCause.HostSupplyRange,
                "disk full" => TripCause.RecordingFailed,
                "safe" => TripCause.HostOrder,
                _ => null,
            };
        }
        if (Fires.TryGetValue(happened, out var cause)) return cause;
        return (state, happened) switch
        {
            ("unattended", "6.5 mA of grid current") => TripCause.HostGridCurrent,
            ("clear" or "permitted" or "unattended", "status running") => TripCause.HostOrder,
            ("clear" or "sweeping negative", "a little positive") => TripCause.HostCeiling,
            ("sweeping positive", "permit ended" or "low permit") => TripCause.PermitEnded,
            _ => null,
        };
    }

    [Fact]
    public void A_permit_that_runs_out_in_mid_sweep_trips_before_anything_else_of_that_moment()
    {
        var step = InterlockMachine.Next(States["sweeping positive"], Events["good block"], Permit.EndsUtc);
        Assert.Equal(TripCause.PermitEnded, step.State.Trip!.Cause);
        Assert.Null(step.State.Permit);
        Assert.IsType<InterlockOrder.MakeSafe>(step.Orders[0]);
        Assert.Single(step.Orders.OfType<InterlockOrder.LogPermitEnd>());
    }

    /// <summary>The word about the permit used to go first, and a look with it.</summary>
    [Theory]
    [InlineData("permitted", "rig trip")]
    [InlineData("permitted", "safe")]
    [InlineData("sweeping positive", "safe")]
    public void What_trips_at_the_moment_when_a_permit_runs_out_is_made_safe_first(string state, string happened)
    {
        var step = InterlockMachine.Next(States[state], Events[happened], Permit.EndsUtc);
        Assert.IsType<InterlockOrder.MakeSafe>(step.Orders[0]);
        Assert.Single(step.Orders.OfType<InterlockOrder.LogPermitEnd>());
        Assert.Single(step.Orders.OfType<InterlockOrder.RecordTrip>());
    }

    [Fact]
    public void A_permit_that_runs_out_at_rest_only_ends()
    {
        var step = InterlockMachine.Next(States["permitted"], Events["tick"], Permit.EndsUtc);
        Assert.Null(step.State.Trip);
        Assert.Null(step.State.Permit);
        Assert.Equal(0, step.State.AllowedDrive(Permit.EndsUtc));
    }

    [Theory]
    [InlineData("clear", "arm 0", true)]
    [InlineData("clear", "arm 24", false)]
    [InlineData("permitted", "arm 24", true)]
    [InlineData("tripped", "arm 0", false)]
    [InlineData("tripped, cause gone", "arm 0", false)]
    [InlineData("releasing", "arm 0", false)]
    [InlineData("no link", "arm 0", false)]
    public void A_sweep_is_let_run_only_within_what_is_allowed(string state, string arm, bool allowed) =>
        Assert.Equal(allowed, InterlockMachine.Next(States[state], Events[arm], Now).State.Armed is not null);

    [Fact]
    public void A_button_held_since_before_the_cause_was_gone_does_nothing_until_let_go_and_pressed_again()
    {
        var state = InterlockMachine.Next(States["tripped, cause present"], Events["press"], Now).State;
        var gone = InterlockMachine.Next(state, Events["status clear"], Now);
        Assert.True(gone.State.CauseGone);
        Assert.Empty(InterlockMachine.Next(gone.State, Events["press"], Now).Orders.OfType<InterlockOrder.Release>());
        var letGo = InterlockMachine.Next(gone.State, Events["let go"], Now).State;
        Assert.Single(InterlockMachine.Next(letGo, Events["press"], Now).Orders.OfType<InterlockOrder.Release>());
    }

    [Theory]
    [InlineData("status running")]
    [InlineData("status rail on")]
    public void A_cause_is_not_gone_before_the_rig_is_at_rest(string busy)
    {
        var state = InterlockMachine.Next(States["tripped"], Events[busy], Now).State;
        Assert.False(state.CauseGone);
        Assert.True(InterlockMachine.Next(state, Events["status clear"], Now).State.CauseGone);
    }

    /// <summary>The next status would order it too, but the renewals of the new link hold the outputs until that comes.</summary>
    [Fact]
    public void A_link_that_comes_back_on_a_tripped_bench_orders_safe_before_the_rig_has_said_anything()
    {
        var lost = InterlockMachine.Next(States["sweeping positive"], Events["link lost"], Now).State;
        Assert.Equal(TripCause.LinkLost, lost.Trip!.Cause);
        var back = InterlockMachine.Next(lost, Events["link up"], Now);
        Assert.IsType<InterlockOrder.MakeSafe>(back.Orders[0]);
        Assert.False(back.State.CauseGone);
    }

    /// <summary>An order to be safe may be lost with the link that it was given on.</summary>
    [Theory]
    [InlineData("status running")]
    [InlineData("status rail on")]
    public void A_tripped_rig_is_ordered_safe_until_it_says_that_it_is_at_rest(string busy)
    {
        var state = States["tripped"];
        for (var i = 0; i < 3; i++)
        {
            var step = InterlockMachine.Next(state, Events[busy], Now);
            Assert.IsType<InterlockOrder.MakeSafe>(step.Orders[0]);
            state = step.State;
        }
        Assert.Empty(InterlockMachine.Next(state, Events["status clear"], Now).Orders.OfType<InterlockOrder.MakeSafe>());
    }

    [Fact]
    public void What_fires_during_a_release_keeps_the_trip_though_the_rig_says_released()
    {
        var state = InterlockMachine.Next(States["releasing"], Events["rig trip"], Now).State;
        state = InterlockMachine.Next(state, Events["released"], Now).State;
        Assert.Equal(First, state.Trip);
        Assert.False(state.CauseGone);
    }
}
