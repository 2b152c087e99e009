using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>Rules on supplies, rig, link and record.</summary>
public static class BenchRules
{
    public static InterlockRule RailHighest { get; } = new(
        "rail-highest", "Plate rail too high",
        "A rail on the wrong tap overloads plate and screen, and above 60 V touching it is dangerous even with dry hands.",
        "Plate rail of every block against the range of the rig and this limit; trips at once.",
        [TripCause.HostSupplyRange])
    {
        Limit = new(RuleUnit.Volts, 60, 60, 5, 60, "extra-low voltage: ripple-free direct voltage up to 60 V in dry places (IEC 61140, from memory)"),
    };

    public static InterlockRule RailDeviation { get; } = new(
        "rail-deviation", "Plate rail not as planned",
        "A rail that sags is shorted or off; readings mean nothing, and dissipation is reckoned for another.",
        "A pass begins once the rail rests within 5 % of the plan, or trips after 2 s; then the rail of every block against the plan, beyond 0.2 V and what the calibration leaves unknown.",
        [TripCause.HostSupplyRange])
    {
        Limit = new(RuleUnit.Percent, 25, 15, 10, 50, "regulated bench supplies hold 1 % under load (makers' figures); ten times that and more is a fault (common practice, no source)"),
    };

    public static InterlockRule EmergencyStop { get; } = new(
        "emergency-stop", "Emergency stop",
        "Somebody saw what no sensor sees.",
        "The rig makes itself safe without the host and latches; freeing the button releases nothing, only a new acknowledgement does, and even that starts nothing "
        + "(the principles of ISO 13850 and of IEC 60204-1 on emergency stop and its reset, from memory; this is no safety function in the sense of either).",
        [TripCause.EmergencyStop]);

    public static InterlockRule OperatorOrder { get; } = new(
        "make-safe", "Made safe on order",
        "Something is wrong that has no rule of its own.",
        "The order overtakes everything else on its way to the rig, latches, and switches the heaters off too.",
        [TripCause.HostOrder]);

    public static InterlockRule HeaterSupply { get; } = new(
        "heater-supply", "Heater current or voltage wrong",
        "A shorted heater, or one on another tap, burns wiring and cathode.",
        "Where the rig has a meter on its heater supply: limits of its configuration, once the inrush is over; off and tripped.",
        [TripCause.HeaterSupply]);

    public static InterlockRule ForeignProgram { get; } = new(
        "foreign-program", "The rig runs a program of nobody",
        "What an earlier session left running drives a tube that nobody watches.",
        "A status that says that a program runs while no sweep of this session does; trips at once.",
        [TripCause.HostOrder]);

    public static InterlockRule LinkLost { get; } = new(
        "link-lost", "The link to the rig is lost",
        "A grid that is driven and not watched.",
        "Trips; the rig's lease ends within 0.3 s by itself. A tripped rig that comes back is ordered safe before anything else.",
        [TripCause.LinkLost]);

    public static InterlockRule RigRestarted { get; } = new(
        "rig-restarted", "The rig restarted by itself",
        "Nobody knows what state it is in.",
        "Trips; everything that was known of it is forgotten.",
        [TripCause.RigRestarted]);

    public static InterlockRule Recording { get; } = new(
        "recording", "Samples cannot be recorded",
        "A tube is worn for a measurement that is lost.",
        "A write that failed, or a disk that cannot keep up; trips, and what was recorded is kept.",
        [TripCause.RecordingFailed]);
}
