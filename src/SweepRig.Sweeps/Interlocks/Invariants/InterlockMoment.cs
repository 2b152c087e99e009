namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>One step of the host's interlocks as seen from outside.</summary>
/// <param name="Before">State before.</param>
/// <param name="Happened">What happened.</param>
/// <param name="Step">What was made of it.</param>
/// <param name="NowUtc">When; the clock that permits are counted on.</param>
public readonly record struct InterlockMoment(InterlockState Before, InterlockEvent Happened, InterlockStep Step, DateTimeOffset NowUtc)
{
    internal InterlockState After => Step.State;

    internal bool FiredNow => Before.Trip is null && After.Trip is not null;

    internal bool ReleasedNow => Before.Trip is not null && After.Trip is null;

    /// <summary>Highest drive that limits and a live permit allow by the state after, volts; worked out here and not by the machine.</summary>
    internal double CeilingAfter
    {
        get
        {
            var permitted = After.Permit is { } permit && NowUtc < permit.GrantedUtc + permit.Duration ? permit.Ceiling.Value : 0;
            var inForce = After.IsUnattended ? After.UnattendedLimits ?? After.Limits : After.Limits;
            return inForce is { } limits ? Math.Min(limits.DriveCeiling, permitted) : permitted;
        }
    }

    internal bool Orders<TOrder>()
        where TOrder : InterlockOrder
    {
        foreach (var order in Step.Orders)
            if (order is TOrder) return true;
        return false;
    }
}
