using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <content>Passes, heater and clocks.</content>
public static partial class InterlockMachine
{
    /// <summary>A status tells whole tenths at best, and is a tenth old.</summary>
    private const double HeaterRoomSeconds = 1;

    /// <summary>Points at their slowest that may go by without a block.</summary>
    private const double SilentPoints = 4;

    private static InterlockState BeginPass(InterlockState state, InterlockEvent.PassBegun begun) => state with
    {
        Pass = begun.Pass,
        Memory = state.Memory.For(begun.Pass),
        // A pass after one that nobody saw anything of does not give the silence another chance.
        Clock = state.Clock.Heard || double.IsNaN(state.Clock.SilentSince) ? state.Clock with { SilentSince = begun.HostSeconds, Heard = false } : state.Clock,
    };

    private static string? HeaterIsCold(InterlockState state, InterlockEvent.RigStatus status) =>
        state.Pass is not { WarmSeconds: > 0 } pass || double.IsNaN(status.HeaterSeconds) ? null
        : status.HeaterSeconds <= 0 ? "the heater is off"
        : status.HeaterSeconds + HeaterRoomSeconds < pass.WarmSeconds ? $"the heater has been on for {status.HeaterSeconds:0.#} s"
        : null;

    private static InterlockStep CheckRigClock(InterlockState state, InterlockEvent.RigStatus status, DateTimeOffset nowUtc)
    {
        if (double.IsNaN(status.RigSeconds) || double.IsNaN(status.HostSeconds) || state.Armed is null || state.InForce is not { } limits) return new(state, Nothing);
        var clock = state.Clock;
        if (status.RigSeconds < clock.RigLast)
            return Fire(state, Host(TripCause.ClockTrouble, $"the rig's clock went back from {clock.RigLast:0.000} s to {status.RigSeconds:0.000} s", "", nowUtc));
        var of = status.HostSeconds - clock.HostFrom;
        if (of >= ClockMemory.WindowSeconds && status.RigSeconds - clock.RigFrom < (1 - limits.RigClockLag) * of)
        {
            return Fire(state, Host(
                TripCause.ClockTrouble, $"the rig's clock went on by {status.RigSeconds - clock.RigFrom:0.0} s in {of:0.0} s of the host", $"{limits.RigClockLag * 100:0.#} % behind", nowUtc));
        }
        return new(
            state with
            {
                Clock = of < ClockMemory.WindowSeconds
                    ? clock with { RigLast = status.RigSeconds }
                    : clock with { RigLast = status.RigSeconds, RigFrom = status.RigSeconds, HostFrom = status.HostSeconds },
            },
            Nothing);
    }

    private static InterlockStep CheckClocks(InterlockState state, InterlockEvent.Clocks clocks, DateTimeOffset nowUtc)
    {
        if (state.InForce is not { } limits) return new(state, Nothing);
        var clock = state.Clock with { WallAhead = state.Permit is null ? double.NaN : state.Clock.WallAhead };
        var ahead = clocks.WallSeconds - clocks.HostSeconds;
        if (state.Permit is not null && double.IsNaN(clock.WallAhead)) clock = clock with { WallAhead = ahead };
        clock = clock.At(clocks.HostSeconds, clocks.PassRuns && state.Pass is not null);
        var after = state with { Clock = clock };
        var jump = ahead - clock.WallAhead;
        if (Math.Abs(jump) > limits.WallJumpSeconds)
            return EndPermit(after, $"the computer's clock jumped by {jump:0.#} s, more than {limits.WallJumpSeconds:0.#} s", nowUtc, TripCause.ClockTrouble);
        if (state.IsTripped || state.Pass is not { } pass) return new(after, Nothing);
        var unknown = clocks.HostSeconds - clock.StatusAt;
        if (unknown > limits.StaleSeconds) return Fire(after, Host(TripCause.StaleData, $"no status of the rig for {unknown:0.0} s", $"{limits.StaleSeconds:0.0} s", nowUtc));
        var silent = clocks.HostSeconds - clock.SilentSince;
        var longest = limits.StaleSeconds + SilentPoints * pass.PointSeconds;
        return silent > longest ? Fire(after, Host(TripCause.StaleData, $"no samples for {silent:0.0} s", $"{longest:0.0} s", nowUtc)) : new(after, Nothing);
    }
}
