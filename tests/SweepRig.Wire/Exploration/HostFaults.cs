using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Wire.Exploration;

/// <summary>Host interlocks that are wrong in one way each, to show that an exploration finds it.</summary>
public static class HostFaults
{
    public delegate InterlockStep Machine(InterlockState state, InterlockEvent happened, DateTimeOffset nowUtc);

    public static IReadOnlyDictionary<string, Machine> All { get; } = new Dictionary<string, Machine>
    {
        ["a trip heals with time"] = (state, happened, now) =>
            Right(happened is InterlockEvent.Tick ? state with { Trip = null } : state, happened, now),
        ["a button held down acknowledges"] = (state, happened, now) =>
            Right(happened is InterlockEvent.RigStatus ? state with { AcknowledgeHeld = false } : state, happened, now) is var step && happened is InterlockEvent.RigStatus && state.AcknowledgeHeld
                ? Then(step, new InterlockEvent.AcknowledgeInput(true), now)
                : step,
        ["the rig's word is not waited for"] = (state, happened, now) =>
            Right(happened is InterlockEvent.AcknowledgeInput && state.IsTripped && state.LinkIsUp ? state with { StatusSinceTrip = true, RigBusy = false } : state, happened, now),
        ["a permit does not end"] = (state, happened, now) =>
            Right(state.Permit is { } permit && now >= permit.EndsUtc ? state with { Permit = permit with { GrantedUtc = now } } : state, happened, now),
        ["a permit that ends does not trip"] = (state, happened, now) =>
            state.Permit is { } permit && (now >= permit.EndsUtc || happened is InterlockEvent.PermitEnded) ? new(state with { Permit = null }, []) : Right(state, happened, now),
        ["a lost link is not noticed"] = (state, happened, now) => happened is InterlockEvent.LinkLost ? new(state, []) : Right(state, happened, now),
        ["a trip orders nothing"] = (state, happened, now) =>
            Right(state, happened, now) is var step && state.Trip is null && step.State.Trip is not null ? step with { Orders = Without<InterlockOrder.MakeSafe>(step) } : step,
        ["safe is not ordered again"] = (state, happened, now) =>
            Right(state, happened, now) is var step && state.IsTripped && happened is InterlockEvent.LinkUp or InterlockEvent.RigStatus
                ? step with { Orders = Without<InterlockOrder.MakeSafe>(step) }
                : step,
        ["the rig's own trip is not heeded"] = (state, happened, now) => happened is InterlockEvent.RigTripped or InterlockEvent.RigStatus { LatchedBy: not null }
            ? new(state, [])
            : Right(state, happened, now),
        ["a sweep is armed without a permit"] = (state, happened, now) => happened is InterlockEvent.SweepArmed armed
            ? new(state with { Armed = armed.Ceiling }, [])
            : Right(state, happened, now),
        ["a later cause takes the place of the first"] = (state, happened, now) => happened is InterlockEvent.RigTripped tripped
            ? Right(state with { Trip = null }, tripped, now)
            : Right(state, happened, now),
    };

    private static InterlockStep Right(InterlockState state, InterlockEvent happened, DateTimeOffset now) => InterlockMachine.Next(state, happened, now);

    private static InterlockStep Then(InterlockStep step, InterlockEvent happened, DateTimeOffset now)
    {
        var second = Right(step.State, happened, now);
        return new(second.State, [.. step.Orders, .. second.Orders]);
    }

    private static IReadOnlyList<InterlockOrder> Without<TOrder>(InterlockStep step) => [.. step.Orders.Where(o => o is not TOrder)];
}
