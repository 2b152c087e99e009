using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using static SweepRig.Sweeps.Interlocks.InterlockOrder;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>
/// The host's interlocks as a pure function. A trip latches: the first cause stays, nothing heals by itself, and only the way down of the
/// acknowledge button releases it, once the rig has said that no cause is left.
/// </summary>
public static partial class InterlockMachine
{
    private static readonly IReadOnlyList<InterlockOrder> Nothing = [];
    private static readonly IReadOnlyList<InterlockOrder> Show = [new Announce()];

    /// <param name="nowUtc">Never goes back from call to call.</param>
    public static InterlockStep Next(InterlockState state, InterlockEvent happened, DateTimeOffset nowUtc)
    {
        // Time first: a permit that has run out must not cover what happened after it.
        var expired = ExpirePermit(state, nowUtc);
        var step = Step(expired.State, happened, nowUtc);
        if (expired.Orders.Count == 0) return step;
        // An order to be safe waits for no word about the permit.
        var safe = step.Orders.Count > 0 && step.Orders[0] is MakeSafe ? 1 : 0;
        return new(step.State, [.. step.Orders.Take(safe), .. expired.Orders, .. step.Orders.Skip(safe)]);
    }

    private static InterlockStep Step(InterlockState state, InterlockEvent happened, DateTimeOffset nowUtc) => happened switch
    {
        InterlockEvent.Tick => new(state, Nothing),
        InterlockEvent.Block block => CheckBlock(state, block, nowUtc),
        InterlockEvent.PassBegun begun => new(BeginPass(state, begun), Nothing),
        InterlockEvent.PassEnded => new(state with { Pass = null }, Nothing),
        InterlockEvent.Clocks clocks => CheckClocks(state, clocks, nowUtc),
        InterlockEvent.RigStatus status => Status(state, status, nowUtc),
        InterlockEvent.RigTripped { Trip.Cause: TripCause.PowerUp } => new(state, Nothing),
        InterlockEvent.RigTripped tripped => Fire(state, tripped.Trip),
        InterlockEvent.LinkUp up => RaiseLink(state with { Pass = null, Memory = state.Memory.ForNextRun(), Clock = state.Clock.WithoutRig(), Limits = up.Limits, UnattendedLimits = up.Unattended, StatusSinceTrip = false, RigCausePresent = false, RigBusy = false }),
        InterlockEvent.LimitsChanged changed => new(state.LinkIsUp ? state with { Limits = changed.Limits, UnattendedLimits = changed.Unattended } : state, Show),
        InterlockEvent.Attendance attendance => Attend(state, attendance.Unattended, nowUtc),
        InterlockEvent.LinkLost lost => LoseLink(state, lost.Reason, nowUtc),
        InterlockEvent.RigRestarted restarted => Fire(state with { Pass = null, Memory = BlockMemory.None, Clock = state.Clock.WithoutRig() }, Host(TripCause.RigRestarted, $"last reset: {restarted.Reason}", "", nowUtc)),
        InterlockEvent.RailOff rail => Fire(state, Host(TripCause.HostSupplyRange, rail.Measured, rail.Planned, nowUtc)),
        InterlockEvent.RecordingFailed failed => Fire(state, Host(TripCause.RecordingFailed, failed.Why, "", nowUtc)),
        InterlockEvent.SafeOrdered safe => SafeOrdered(state, safe.Reason, nowUtc),
        InterlockEvent.PermitGranted granted => Grant(state, granted.Permit, nowUtc),
        InterlockEvent.PermitEnded => EndPermit(state, "ended by hand", nowUtc),
        InterlockEvent.AcknowledgeInput input => Acknowledge(state, input.Pressed),
        InterlockEvent.ReleaseAnswered answer => Released(state, answer.Released),
        InterlockEvent.SweepArmed armed => Arm(state, armed.Ceiling, nowUtc),
        InterlockEvent.SweepEnded => new(state with { Armed = null, Pass = null, Memory = state.Memory.ForNextRun(), Clock = state.Clock.ForNextRun(), IsUnattended = state.IsUnattended && !state.AttendedAfterRun, AttendedAfterRun = false }, Show),
        _ => throw new InvalidOperationException($"SweepRig bug: the interlocks do not know {happened}."),
    };

    private static InterlockStep CheckBlock(InterlockState state, InterlockEvent.Block happened, DateTimeOffset nowUtc)
    {
        var block = happened.Summary;
        if (state.IsTripped || state.InForce is not { } limits) return new(state, Nothing);
        var ceiling = Math.Min(Math.Min(limits.DriveCeiling, state.PermittedCeiling(nowUtc)), state.Armed ?? double.MaxValue);
        // Codes are exact, so the commanded drive gets room for rounding alone.
        if (block.MaxDrive > ceiling + 1e-9) return Broken(TripCause.HostCeiling, $"drive {new Volts(block.MaxDrive)}", new Volts(ceiling).ToString());
        if (block.MaxReadBack > ceiling + limits.ReadBackRoomVolts)
            return Broken(TripCause.HostCeiling, $"drive read back as {new Volts(block.MaxReadBack)}", new Volts(ceiling).ToString());
        if (block.MaxGridCurrent > limits.GridCurrent)
            return Broken(TripCause.HostGridCurrent, $"grid current {new Amps(block.MaxGridCurrent)}", new Amps(limits.GridCurrent).ToString());
        if (block.MaxCathodeCurrent > limits.CathodeCurrent)
            return Broken(TripCause.HostCathodeCurrent, $"cathode current {new Amps(block.MaxCathodeCurrent)}", new Amps(limits.CathodeCurrent).ToString());
        if (block.MaxSupply > limits.SupplyMax)
            return Broken(TripCause.HostSupplyRange, $"plate rail {new Volts(block.MaxSupply)}", new Volts(limits.SupplyMax).ToString());
        if (block.MinSupply < limits.SupplyMin)
            return Broken(TripCause.HostSupplyRange, $"plate rail {new Volts(block.MinSupply)}", new Volts(limits.SupplyMin).ToString());
        state = state with { Memory = BlockRules.Remember(state.Memory, state.Pass, block, limits), Clock = state.Clock with { SilentSince = happened.HostSeconds, Heard = true } };
        return BlockRules.Broken(state.Memory, state.Pass, block, limits) is { } broken ? Broken(broken.Cause, broken.Measured, broken.Limit) : new(state, Nothing);

        InterlockStep Broken(TripCause cause, string measured, string limit) => Fire(state, Host(cause, measured, limit, nowUtc));
    }

    private static InterlockStep Status(InterlockState state, InterlockEvent.RigStatus status, DateTimeOffset nowUtc)
    {
        if (!state.LinkIsUp) return new(state, Nothing);
        if (!double.IsNaN(status.HostSeconds)) state = state with { Clock = state.Clock with { StatusAt = status.HostSeconds } };
        if (!state.IsTripped)
        {
            if (status.LatchedBy is { } cause && cause != TripCause.PowerUp) return Fire(state, new(cause, true, "", "", nowUtc, null));
            // What an earlier session left running is nobody's sweep now.
            if (status.Running && state.Armed is null) return Fire(state, Host(TripCause.HostOrder, "the rig ran a program that no sweep of this session asked for", "", nowUtc));
            return HeaterIsCold(state, status) is { } cold ? Fire(state, Host(TripCause.HeaterCold, cold, $"{state.Pass!.WarmSeconds:0.#} s", nowUtc)) : CheckRigClock(state, status, nowUtc);
        }
        var after = state with { StatusSinceTrip = true, RigCausePresent = status.CausesPresent, RigBusy = !status.AtRest };
        // The order may have been lost with the link that it was given on.
        if (!status.AtRest) return new(after, [new MakeSafe(), new Announce()]);
        return new(after, after.CauseGone == state.CauseGone ? Nothing : Show);
    }

    /// <summary>
    /// A link that comes back within the lease finds the rig driving still, and its renewals would keep it so: a tripped bench orders safe anew.
    /// </summary>
    private static InterlockStep RaiseLink(InterlockState state) => state.IsTripped ? new(state, [new MakeSafe(), new Announce()]) : new(state, Show);

    private static InterlockStep LoseLink(InterlockState state, string reason, DateTimeOffset nowUtc)
    {
        var down = state with { Limits = null, UnattendedLimits = null, Releasing = false, StatusSinceTrip = false };
        // A rig that was never there has not been lost.
        return state.LinkIsUp ? Fire(down, Host(TripCause.LinkLost, reason, "", nowUtc)) : new(down, Show);
    }

    private static InterlockStep SafeOrdered(InterlockState state, string reason, DateTimeOffset nowUtc) =>
        state.IsTripped
            ? new(state with { Releasing = false, StatusSinceTrip = false }, [new MakeSafe(), new Announce()])
            : Fire(state, Host(TripCause.HostOrder, reason, "", nowUtc));

    /// <summary>A run under way only ever gets tighter limits: those of an attended bench come back at its end.</summary>
    private static InterlockStep Attend(InterlockState state, bool unattended, DateTimeOffset nowUtc)
    {
        if (!unattended) return new(state.Armed is null ? state with { IsUnattended = false } : state with { AttendedAfterRun = state.IsUnattended }, Show);
        var after = state with { IsUnattended = true, AttendedAfterRun = false };
        if (after.InForce is not { } limits) return new(after, Show);
        if (after.Permit is { } permit && permit.EndsUtc - nowUtc > limits.LongestPermit)
            after = after with { Permit = permit with { Duration = nowUtc + limits.LongestPermit - permit.GrantedUtc } };
        return after is { IsTripped: false, Armed: { } armed } && armed > limits.DriveCeiling + 1e-9
            ? Fire(after, Host(TripCause.HostCeiling, $"drive up to {new Volts(armed)}", $"{new Volts(limits.DriveCeiling)} while nobody is at the bench", nowUtc))
            : new(after, Show);
    }

    private static InterlockStep Grant(InterlockState state, Permit permit, DateTimeOffset nowUtc)
    {
        if (nowUtc >= permit.EndsUtc) return new(state, Nothing);
        var orders = state.Permit is { } old ? (IReadOnlyList<InterlockOrder>)[new LogPermitEnd(old, "replaced by another"), new Announce()] : Show;
        var after = state with { Permit = permit, Clock = state.Clock with { WallAhead = double.NaN } };
        if (state.Armed is not { } armed || armed <= permit.Ceiling.Value || state.IsTripped) return new(after, orders);
        // A lower permit in mid-sweep takes effect at once.
        var fired = Fire(after, Host(TripCause.PermitEnded, $"drive up to {new Volts(armed)}", $"permit up to {permit.Ceiling}", nowUtc));
        return new(fired.State, [.. fired.Orders.Take(1), .. orders, .. fired.Orders.Skip(1)]);
    }

    private static InterlockStep ExpirePermit(InterlockState state, DateTimeOffset nowUtc) =>
        state.Permit is { } permit && nowUtc >= permit.EndsUtc ? EndPermit(state, "its time has run out", nowUtc) : new(state, Nothing);

    private static InterlockStep EndPermit(InterlockState state, string why, DateTimeOffset nowUtc, TripCause cause = TripCause.PermitEnded)
    {
        if (state.Permit is not { } permit) return new(state, Nothing);
        var after = state with { Permit = null };
        var log = new LogPermitEnd(permit, why);
        if (state.IsTripped || state.Armed is not { } armed || armed <= 0) return new(after, [log, new Announce()]);
        var fired = Fire(after, Host(cause, $"drive up to {new Volts(armed)}", $"the permit is over: {why}", nowUtc));
        return new(fired.State, [.. fired.Orders.Take(1), log, .. fired.Orders.Skip(1)]);
    }

    private static InterlockStep Acknowledge(InterlockState state, bool pressed)
    {
        var edge = pressed && !state.AcknowledgeHeld;
        var after = state with { AcknowledgeHeld = pressed };
        return edge && state.CauseGone ? new(after with { Releasing = true }, [new Release()]) : new(after, Nothing);
    }

    private static InterlockStep Released(InterlockState state, bool released)
    {
        // An answer that nobody waits for any more, because something fired in between, releases nothing.
        if (!state.Releasing) return new(state, Nothing);
        return released
            ? new(state with { Trip = null, Releasing = false, StatusSinceTrip = false, RigCausePresent = false, RigBusy = false }, Show)
            : new(state with { Releasing = false, StatusSinceTrip = false }, Show);
    }

    private static InterlockStep Arm(InterlockState state, double ceiling, DateTimeOffset nowUtc) =>
        state.Armed is null && state.AllowedDrive(nowUtc) is { } allowed && ceiling <= allowed + 1e-9
            ? new(state with { Armed = ceiling }, Nothing)
            : new(state, Nothing);

    /// <summary>The first cause wins; a later one makes safe again only if a release was under way.</summary>
    private static InterlockStep Fire(InterlockState state, Trip trip)
    {
        if (!state.IsTripped)
            return new(state with { Trip = trip, StatusSinceTrip = false, RigCausePresent = false, RigBusy = false, Releasing = false }, [new MakeSafe(), new RecordTrip(trip), new Announce()]);
        return state.Releasing
            ? new(state with { StatusSinceTrip = false, Releasing = false }, [new MakeSafe(), new Announce()])
            : new(state with { StatusSinceTrip = false }, Nothing);
    }

    private static Trip Host(TripCause cause, string measured, string limit, DateTimeOffset nowUtc) => new(cause, false, measured, limit, nowUtc, null);
}
