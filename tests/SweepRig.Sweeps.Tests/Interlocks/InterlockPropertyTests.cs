using CsCheck;
using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Any sequence of events, judged by a plainer model kept beside the machine.</summary>
public sealed class InterlockPropertyTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    public static Gen<(InterlockEvent Happened, int Seconds)[]> Steps => Step.Array[1, 60];

    private static readonly Gen<(InterlockEvent Happened, int Seconds)> Step = Gen.Select(
        Gen.OneOf(
            Gen.Int[0, InterlockTableTests.Events.Count - 1].Select(i => InterlockTableTests.Events.Values.ElementAt(i)),
            // What leads on is drawn more often, so that sequences get somewhere.
            Gen.OneOf(
                Gen.Const<InterlockEvent>(InterlockTableTests.Events["link up"]), Gen.Const<InterlockEvent>(InterlockTableTests.Events["status clear"]),
                Gen.Const<InterlockEvent>(new InterlockEvent.AcknowledgeInput(true)), Gen.Const<InterlockEvent>(new InterlockEvent.AcknowledgeInput(false)),
                Gen.Const<InterlockEvent>(new InterlockEvent.ReleaseAnswered(true)), Gen.Const<InterlockEvent>(new InterlockEvent.SweepArmed(24)),
                Gen.Const<InterlockEvent>(new InterlockEvent.SweepEnded()))),
        Gen.Int[0, 100]);

    [Fact]
    public void Positive_drive_is_never_allowed_without_a_permit_in_force() =>
        Step.Array[1, 60].Sample(steps =>
        {
            var (state, now) = (InterlockState.Initial, Start);
            Permit? permit = null;
            foreach (var (happened, seconds) in steps)
            {
                now = now.AddSeconds(seconds);
                var given = happened is InterlockEvent.PermitGranted granted ? new InterlockEvent.PermitGranted(granted.Permit with { GrantedUtc = now }) : happened;
                state = InterlockMachine.Next(state, given, now).State;
                if (given is InterlockEvent.PermitGranted g) permit = g.Permit;
                if (given is InterlockEvent.PermitEnded) permit = null;
                var ceiling = permit is not null && now < permit.GrantedUtc + permit.Duration ? permit.Ceiling.Value : 0;

                if (state.AllowedDrive(now) is { } allowed) Assert.True(allowed <= ceiling, $"{allowed} V allowed, {ceiling} V permitted");
                // What a sweep may send never outlives what allows it, unless the trip is already latched.
                if (state is { Armed: { } armed, Trip: null }) Assert.True(armed <= ceiling + 1e-9, $"{armed} V armed, {ceiling} V permitted");
            }
            return true;
        });

    [Fact]
    public void Nothing_leads_out_of_a_trip_but_a_new_press_then_a_release() =>
        Step.Array[1, 80].Sample(steps =>
        {
            var (state, now) = (InterlockState.Initial, Start);
            var held = false;
            var pressedWhileGone = false;
            foreach (var (happened, seconds) in steps)
            {
                now = now.AddSeconds(seconds);
                var before = state;
                state = InterlockMachine.Next(state, happened, now).State;
                if (happened is InterlockEvent.AcknowledgeInput input)
                {
                    if (input.Pressed && !held && before.CauseGone) pressedWhileGone = true;
                    held = input.Pressed;
                }
                if (before.Trip is not null && state.Trip is null)
                    Assert.True(pressedWhileGone && happened is InterlockEvent.ReleaseAnswered { Released: true }, $"{happened} healed {before.Trip.Cause}");
                if (before.Trip is not null && state.Trip is not null) Assert.Equal(before.Trip, state.Trip);
                if (state.Trip is null) pressedWhileGone = false;
            }
            return true;
        });

    [Fact]
    public void Sequences_do_reach_a_release()
    {
        // Guards the property above against never being tried.
        var reached = 0;
        Step.Array[1, 80].Sample(
            steps =>
            {
                var (state, now) = (InterlockState.Initial, Start);
                foreach (var (happened, seconds) in steps)
                {
                    now = now.AddSeconds(seconds);
                    var before = state;
                    state = InterlockMachine.Next(state, happened, now).State;
                    if (before.Trip is not null && state.Trip is null) Interlocked.Increment(ref reached);
                }
                return true;
            },
            iter: 2000);
        Assert.True(reached > 20, $"{reached} releases in 2000 sequences");
    }
}
