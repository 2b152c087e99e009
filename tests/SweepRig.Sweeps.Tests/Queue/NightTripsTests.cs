using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Sweeps.Tests.Queue;

public sealed class NightTripsTests
{
    /// <summary>An emergency stop is reset by a person who has seen to its cause (IEC 60204-1, 9.2.3.4.2, and ISO 13850, 4.1.4, from memory); the others say that something of the bench may be broken.</summary>
    [Theory]
    [InlineData(TripCause.EmergencyStop)]
    [InlineData(TripCause.HostOrder)]
    [InlineData(TripCause.DriveCeiling)]
    [InlineData(TripCause.HostCeiling)]
    [InlineData(TripCause.SupplyRange)]
    [InlineData(TripCause.HostSupplyRange)]
    [InlineData(TripCause.DriveReadBack)]
    [InlineData(TripCause.HeaterSupply)]
    [InlineData(TripCause.BrownOut)]
    [InlineData(TripCause.Watchdog)]
    [InlineData(TripCause.ProtocolFault)]
    public void What_is_the_benchs_waits_for_a_person(TripCause cause) => Assert.Equal(TripBlame.Bench, NightTrips.Of(cause, inScreening: false));

    [Fact]
    public void A_cause_that_nobody_thought_of_waits_for_a_person() => Assert.Equal(TripBlame.Bench, NightTrips.Of((TripCause)9_999, inScreening: true));

    [Theory]
    [InlineData(TripCause.GridCurrent, TripBlame.Tube)]
    [InlineData(TripCause.HostCathodeCurrent, TripBlame.Tube)]
    [InlineData(TripCause.PositiveCharge, TripBlame.Tube)]
    [InlineData(TripCause.PositiveTime, TripBlame.Step)]
    [InlineData(TripCause.LinkLost, TripBlame.Passing)]
    [InlineData(TripCause.RecordingFailed, TripBlame.Passing)]
    public void The_others_are_told_apart(TripCause cause, TripBlame blame) => Assert.Equal(blame, NightTrips.Of(cause, inScreening: false));

    [Fact]
    public void In_a_screening_a_rail_that_is_pulled_down_is_the_tubes() => Assert.Equal(TripBlame.Tube, NightTrips.Of(TripCause.SupplyRange, inScreening: true));
}
