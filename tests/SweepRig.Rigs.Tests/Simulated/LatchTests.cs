using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Tests.Simulated;

public class LatchTests
{
    public enum State
    {
        /// <summary>As after a reset.</summary>
        PoweredUp,
        Clear,

        /// <summary>Fired by grid current, which still holds.</summary>
        FiredCausePresent,

        /// <summary>Fired by grid current, which is gone.</summary>
        FiredCauseGone,
    }

    public enum Event
    {
        Fire,
        ReleaseThisFiring,
        ReleaseEarlierFiring,
        ReleaseLaterFiring,
        CauseGoes,
    }

    // Every state with every event: fired afterwards, with which cause, at which firing.
    [Theory]
    [InlineData(State.PoweredUp, Event.Fire, true, TripCause.PowerUp, 1)]
    [InlineData(State.PoweredUp, Event.ReleaseThisFiring, false, TripCause.PowerUp, 1)]
    [InlineData(State.PoweredUp, Event.ReleaseEarlierFiring, true, TripCause.PowerUp, 1)]
    [InlineData(State.PoweredUp, Event.ReleaseLaterFiring, true, TripCause.PowerUp, 1)]
    [InlineData(State.PoweredUp, Event.CauseGoes, true, TripCause.PowerUp, 1)]
    [InlineData(State.Clear, Event.Fire, true, TripCause.SupplyRange, 2)]
    [InlineData(State.Clear, Event.ReleaseThisFiring, false, TripCause.PowerUp, 1)]
    [InlineData(State.Clear, Event.ReleaseEarlierFiring, false, TripCause.PowerUp, 1)]
    [InlineData(State.Clear, Event.ReleaseLaterFiring, false, TripCause.PowerUp, 1)]
    [InlineData(State.Clear, Event.CauseGoes, false, TripCause.PowerUp, 1)]
    [InlineData(State.FiredCausePresent, Event.Fire, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCausePresent, Event.ReleaseThisFiring, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCausePresent, Event.ReleaseEarlierFiring, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCausePresent, Event.ReleaseLaterFiring, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCausePresent, Event.CauseGoes, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCauseGone, Event.Fire, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCauseGone, Event.ReleaseThisFiring, false, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCauseGone, Event.ReleaseEarlierFiring, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCauseGone, Event.ReleaseLaterFiring, true, TripCause.GridCurrent, 2)]
    [InlineData(State.FiredCauseGone, Event.CauseGoes, true, TripCause.GridCurrent, 2)]
    public void Every_state_meets_every_event(State state, Event happens, bool firedAfter, TripCause causeAfter, int firingAfter)
    {
        var latch = new Latch();
        var causePresent = false;
        if (state != State.PoweredUp) latch.Release(latch.Firing, false);
        if (state is State.FiredCausePresent or State.FiredCauseGone) latch.Fire(10, new(TripCause.GridCurrent, 9e-3, 8e-3));
        if (state == State.FiredCausePresent) causePresent = true;

        switch (happens)
        {
            case Event.Fire: latch.Fire(20, new(TripCause.SupplyRange, 41, 40)); break;
            case Event.ReleaseThisFiring: latch.Release(latch.Firing, causePresent); break;
            case Event.ReleaseEarlierFiring: latch.Release(latch.Firing - 1, causePresent); break;
            case Event.ReleaseLaterFiring: latch.Release(latch.Firing + 1, causePresent); break;
            case Event.CauseGoes: break;
        }

        Assert.Equal((firedAfter, causeAfter, firingAfter), (latch.IsFired, latch.Cause, latch.Firing));
    }

    [Fact]
    public void A_release_that_was_refused_does_nothing_when_the_cause_goes_later()
    {
        var latch = new Latch();
        Assert.Equal(ReleaseResult.CausePresent, latch.Release(1, true));
        Assert.True(latch.IsFired);
        Assert.Equal(ReleaseResult.Clear, latch.Release(1, false));
    }
}
