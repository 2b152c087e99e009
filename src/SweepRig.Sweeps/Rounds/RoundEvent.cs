namespace SweepRig.Sweeps.Rounds;

/// <summary>What happens to a round, by the operator, the rig, or the look at a curve.</summary>
public abstract record RoundEvent
{
    /// <summary>A number was read by eye or scanner: that tube is at hand.</summary>
    public sealed record Named(string Label) : RoundEvent;

    /// <summary>The tube at hand is in the socket; null for the one that was asked for.</summary>
    public sealed record Placed(int? Socket) : RoundEvent;

    /// <summary>The tube of a socket was taken out.</summary>
    public sealed record Pulled(int Socket) : RoundEvent;

    /// <summary>A tube is not to be swept after all.</summary>
    public sealed record PutAside(string Label, string Why) : RoundEvent;

    /// <summary>A tube that has been swept is to be swept once more.</summary>
    public sealed record Again(string Label) : RoundEvent;

    public sealed record HeatersOn : RoundEvent;

    public sealed record HeatersOff : RoundEvent;

    public sealed record SweepBegan(int Socket, string RunId) : RoundEvent;

    /// <param name="Void">It says nothing of the tube, which is swept again.</param>
    public sealed record SweepEnded(int Socket, bool Void) : RoundEvent;

    /// <summary>The curve says this of the tube.</summary>
    public sealed record Judged(int Socket, string Verdict) : RoundEvent;

    /// <summary>The curve cannot be of the type on record.</summary>
    public sealed record Doubted(int Socket, TypeDoubt Doubt) : RoundEvent;

    /// <summary>The operator's word on that.</summary>
    /// <param name="TypeName">What it is after all.</param>
    public sealed record TypeSettled(int Socket, string TypeName, string Verdict) : RoundEvent;

    /// <summary>Nothing can be swept, for this reason.</summary>
    /// <param name="NeedsRelease">The operator must release a trip.</param>
    public sealed record Held(string Why, bool NeedsRelease = false) : RoundEvent;

    public sealed record Freed : RoundEvent;
}
