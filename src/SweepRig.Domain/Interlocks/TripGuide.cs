namespace SweepRig.Domain.Interlocks;

/// <summary>What a trip cause means to the person at the bench.</summary>
/// <param name="Title">One line: what fired.</param>
/// <param name="LikelyCause">What usually lies behind it.</param>
/// <param name="Remedy">What to do next.</param>
public sealed record TripAdvice(string Title, string LikelyCause, string Remedy);

/// <summary>The rig sends a number; the help is kept here.</summary>
public static class TripGuide
{
    /// <exception cref="ArgumentOutOfRangeException">The number is no <see cref="TripCause"/>.</exception>
    public static TripAdvice For(TripCause cause) => cause switch
    {
        TripCause.PowerUp => new(
            "The rig has just started",
            "A rig starts with its latch fired, so that no drive appears before someone asks for it.",
            "Nothing is wrong. Switch the heater on or start a sweep."),
        TripCause.LeaseExpired => new(
            "The rig heard nothing from the host in time",
            "The computer was too busy to renew the drive, was asleep, or the cable lost contact for a moment.",
            "Keep the computer awake and on mains, close heavy programs, check cable and hub, then acknowledge."),
        TripCause.DriveCeiling => new(
            "The drive went above the ceiling of the pass",
            "The rig was asked for a higher code than the pass allows, or its drive amplifier overshot.",
            "Acknowledge and sweep again; if it recurs, calibrate the drive and check the amplifier's supply."),
        TripCause.GridCurrent => new(
            "Too much grid current",
            "The drive is far positive for this stopper, the stopper is too small, or grid and cathode touch inside the tube.",
            "Lower the highest drive or fit a larger grid stopper; with the tube out, check the stopper's value; then acknowledge."),
        TripCause.CathodeCurrent => new(
            "Too much cathode current",
            "The plate or screen resistor is smaller than the plan says, plate or screen is shorted to the cathode, or grid 1 touches the screen and no longer holds the current back.",
            "Compare the resistors with the plan, measure the cold tube for shorts, then acknowledge."),
        TripCause.SupplyRange => new(
            "The plate rail is outside its range",
            "The supply is off, at another voltage than the plan says, or sagging under a short.",
            "Measure the rail, set it to the plan's voltage, check its fuse, then acknowledge."),
        TripCause.DriveReadBack => new(
            "The drive is not what was asked for",
            "The drive amplifier is overloaded, without supply, or out of calibration, or the drive wire touches another electrode.",
            "Take the tube out and check the drive with a meter against the page's figure; calibrate; then acknowledge."),
        TripCause.PositiveTime => new(
            "The grid was driven positive for too long",
            "The pass spent more time above 0 V than the rig allows in a minute.",
            "Use fewer points above 0 V, a shorter dwell or fewer conversions, wait a minute, then acknowledge."),
        TripCause.PositiveCharge => new(
            "Too much charge went into the grid",
            "Grid current was high for long: much drive above 0 V with a small stopper or a long dwell.",
            "Use a larger stopper, a lower highest drive or a shorter dwell, wait a minute, then acknowledge."),
        TripCause.EmergencyStop => new(
            "The stop button on the rig was pressed",
            "Someone pressed it, or its wire is broken: the input fails towards stop.",
            "Find out why it was pressed, free the button, then acknowledge."),
        TripCause.Watchdog => new(
            "The rig's firmware hung and was restarted",
            "A fault in the firmware, or interference on the board's supply.",
            "Note the firmware's version, keep heater wiring away from the board, acknowledge; report it if it recurs."),
        TripCause.BrownOut => new(
            "The rig's own supply dropped",
            "A cold heater draws several times its running current, and the supply or USB port could not give it.",
            "Feed the heater from its own supply and the board from a good port, then acknowledge."),
        TripCause.ProtocolFault => new(
            "The rig received something it does not understand",
            "Host and firmware are of different versions, or another program writes to the same port.",
            "Close other programs on this port, compare both versions, then acknowledge."),
        TripCause.HostOrder => new(
            "Made safe on order",
            "The operator asked for it, or an interlock of the host did.",
            "Once the reason is dealt with, acknowledge."),
        TripCause.LinkLost => new(
            "The link to the rig was lost",
            "The cable was pulled, the rig lost power, or the port vanished. A rig with a lease makes itself safe; a rig on a direct bus has told what it could still switch.",
            "Check cable and power; when the rig is connected again, acknowledge. What was recorded is kept."),
        TripCause.RigRestarted => new(
            "The rig restarted by itself",
            "Its supply dropped for a moment, its reset was touched, or its watchdog fired.",
            "Check the rig's supply and cable, then acknowledge and sweep again."),
        TripCause.PermitEnded => new(
            "The permit for positive drive ended",
            "Its time ran out, or it was ended by hand, while the drive was above 0 V or about to be.",
            "Acknowledge, and grant a permit that lasts as long as the sweep."),
        TripCause.RecordingFailed => new(
            "Samples could not be recorded",
            "The disk is full, was removed, or may not be written to.",
            "Free space or mend the data directory, then acknowledge. What was recorded before is kept."),
        TripCause.HostCeiling => new(
            "The host saw drive above what is allowed",
            "Samples show more drive than the permit, the plan or the session allows; drive scale or calibration may be wrong.",
            "Check the rig's drive with a meter and its calibration, then acknowledge."),
        TripCause.HostGridCurrent => new(
            "The host saw too much grid current",
            "The drive is far positive for this stopper, or grid and cathode touch; the session's limit is tighter than the rig's.",
            "Lower the highest drive, fit a larger grid stopper or raise the session's limit, then acknowledge."),
        TripCause.HostCathodeCurrent => new(
            "The host saw too much cathode current",
            "A resistor is smaller than the plan says, or an electrode is shorted; the session's limit is tighter than the rig's.",
            "Compare the resistors with the plan, measure the cold tube for shorts, then acknowledge."),
        TripCause.HostSupplyRange => new(
            "The host saw the plate rail outside its range",
            "The rail differs from the plan, or sags under load.",
            "Measure the rail with the tube drawing current, set it right, then acknowledge."),
        TripCause.HeaterSupply => new(
            "The heater supply is not what it should be",
            "The heater draws more than its limit, its voltage is off, or the meter on it was overrun: a shorted heater, wrong supply, or a wire off.",
            "With the tube out and the supply off, check heater wiring, supply and fuse, then acknowledge."),
        TripCause.GridDissipation => new(
            "Grid 1 turns too much power into heat",
            "The drive is far positive and the grid holds much of it: the stopper is small, or the cathode gives little.",
            "Lower the highest drive or fit a larger grid stopper, let the tube cool, then acknowledge."),
        TripCause.PlateDissipation => new(
            "The plate turns too much power into heat",
            "The rail is high or the plate resistor small for this type, or the wrong type was named.",
            "Check the type on the tube, use a lower rail or a larger plate resistor, then acknowledge."),
        TripCause.ScreenDissipation => new(
            "The screen turns too much power into heat",
            "The screen draws more than tubes of this type do: far positive drive, a small screen resistor, or the wrong type was named.",
            "Use a larger screen resistor, a lower rail or less positive drive; check the type on the tube; then acknowledge."),
        TripCause.ReverseGridCurrent => new(
            "Current comes out of grid 1",
            "The grid touches or leaks to screen or plate, the tube has gas, or the grid has become an emitter.",
            "Switch off, measure the cold tube for shorts between grid, screen and plate, and screen it before it is swept again; then acknowledge."),
        TripCause.HostPositiveTime => new(
            "The host counted too much positive drive",
            "The drive was above 0 V for longer than is allowed in a pass or a minute.",
            "Use fewer points above 0 V, a shorter dwell or fewer conversions, wait a minute, then acknowledge."),
        TripCause.HostPositiveCharge => new(
            "The host counted too much grid charge",
            "Grid current times time, in a pass or a minute, is more than is allowed: a small stopper, high drive or a long dwell.",
            "Use a larger stopper, a lower highest drive or a shorter dwell, wait a minute, then acknowledge."),
        TripCause.HostReadBack => new(
            "The drive that comes back is not the one sent",
            "The drive amplifier is overloaded, its supply is off, the calibration is of another rig, or the read-back wire is off.",
            "Take the tube out, compare the drive with a meter, calibrate the rig, then acknowledge."),
        TripCause.ChannelStuck => new(
            "A channel stands still while the drive moves",
            "Its converter hangs, its wire is off, or the electrode is shorted to something stiff.",
            "Take the tube out and hold a point for the meter (calibrate) to compare the channel; check its wire; then acknowledge."),
        TripCause.ChannelClipped => new(
            "A channel stays at the end of its range",
            "A wire is off, the rail or drive is higher than the divider is made for, or the grid of a dead tube follows the drive.",
            "See which curve lies flat at the end of its range, check its wire and divider, and screen the tube; then acknowledge."),
        TripCause.CurrentRunaway => new(
            "The current runs away at constant drive",
            "Gas or grid emission drives the grid up by itself, or the tube draws more as it heats; it ends in a burnt tube.",
            "Let the tube cool, screen it for gas and grid emission, use a smaller resistor in the grid circuit, then acknowledge."),
        TripCause.HeaterCold => new(
            "The heater is off or not warm yet",
            "The heater's supply went off in mid-pass, or the rig switched it off for want of a host.",
            "Check the heater's supply, fuse and wiring, then acknowledge; the next sweep warms the tube first."),
        TripCause.StaleData => new(
            "Samples or status of the rig stay away",
            "The line loses one kind of message, or the rig hangs in its measuring.",
            "Check cable and hub, look at the count of damaged frames, restart the rig if it recurs, then acknowledge."),
        TripCause.ClockTrouble => new(
            "A clock cannot be trusted",
            "The computer's clock was set or the computer slept under a permit, or the rig's clock stands still or went back.",
            "Let the computer set its clock before a sweep and keep it awake; restart the rig if its clock is at fault; then acknowledge and grant the permit anew."),
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "SweepRig bug: this trip cause has no advice."),
    };
}
