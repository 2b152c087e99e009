using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>What the interlocks want done, in this order.</summary>
public abstract record InterlockOrder
{
    private InterlockOrder()
    {
    }

    /// <summary>Rig to safe, before anything else.</summary>
    public sealed record MakeSafe : InterlockOrder;

    /// <summary>A release edge for the rig's latch; answer with <see cref="InterlockEvent.ReleaseAnswered"/>.</summary>
    public sealed record Release : InterlockOrder;

    public sealed record RecordTrip(Trip Trip) : InterlockOrder;

    /// <summary>Show the new state, after what stands before it is done.</summary>
    public sealed record Announce : InterlockOrder;

    /// <summary>A permit is over.</summary>
    /// <param name="Why">For the log.</param>
    public sealed record LogPermitEnd(Permit Permit, string Why) : InterlockOrder;
}

/// <param name="State">The state after the event.</param>
/// <param name="Orders">What is to be done, in order.</param>
public readonly record struct InterlockStep(InterlockState State, IReadOnlyList<InterlockOrder> Orders);
