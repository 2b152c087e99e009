using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Link;

/// <summary>Decides which rig may be behind a port. Asked by the owner task alone, when the rig has said who it is and before anything else is sent to it.</summary>
public interface IRigGate
{
    /// <returns>Null lets it in; otherwise the connection ends, with nothing sent to the rig.</returns>
    RigTurnedAway? Enter(RigIdentity rig);

    /// <summary>The connection has ended, also one that was turned away.</summary>
    void Left();
}

/// <param name="Reason">For people: which rig, why not, what to do.</param>
/// <param name="Retrying">True if the next attempt may find another rig.</param>
public sealed record RigTurnedAway(string Reason, bool Retrying);
