namespace SweepRig.Domain.Logging;

/// <summary>
/// The ids of all lines that the service logs for an operator: 10xx the service, 11xx runs, 12xx interlocks, 13xx the link to a rig, 14xx the store, 15xx rounds and nights, 16xx watching,
/// 19xx faults of the program itself. Each has its line in <see cref="All"/>.
/// </summary>
public static class LogEvents
{
    public const int RequestRefused = 1001, RequestFailed = 1002, NotAlive = 1003, AliveAgain = 1004, ServiceStarted = 1005, ServiceStopping = 1006;
    public const int RunNotOpened = 1101, RunEndNotRecorded = 1102, SamplesNotRecorded = 1103, PointsMeasuredAgain = 1104, DrivesNotChosen = 1105;
    public const int Tripped = 1201, TripNotRecorded = 1202, SafeNotConfirmed = 1203, PermitGranted = 1204, PermitEnded = 1205, SilentWhileStopping = 1206, SuppliesLeftOn = 1207;
    public const int RigConnected = 1301, RigCalibration = 1302, RigRestarted = 1303, LinkDown = 1304, PortLost = 1305, DamagedFrame = 1306, SenselessFrame = 1307, FlightRecord = 1308;
    public const int StoreAway = 1401, StoreBack = 1402, WritesWait = 1403, WritesStuck = 1404, RunNotMarked = 1405, RunUnreadable = 1406, RunNotPacked = 1407;
    public const int RoundStepFailed = 1501, RoundRunUnread = 1502, NightStepLost = 1503, NightStepFailed = 1504;
    public const int EventsWait = 1601, EventNotKept = 1602, MorningNotMade = 1603, AlarmsInMemory = 1604, AlarmsBegunAnew = 1605, DriftUnseen = 1606, NoSignOfLife = 1607, EventsDamaged = 1608, EventsInMemory = 1609;
    public const int MessageFailed = 1901, SafeFailed = 1902, OwnerFailed = 1903, ForeignCalibration = 1904, ViewerFailed = 1905, WatchFailed = 1906, InterlocksBroken = 1907;

    public static IReadOnlyList<LogEvent> All { get; } =
    [
        new(RequestRefused, "A request that does not come from this machine's own pages or programs was refused.", "If you do not know where it came from, look at what is open in the browser."),
        new(RequestFailed, "A request could not be answered.", "The line says why; if it is the store, look at disk or server."),
        new(NotAlive, "The owner of a rig or the recording has not answered in time; the watchdog is no longer fed.", "systemd starts the service again. If it happens twice, look at the disk first: sweeprig doctor."),
        new(AliveAgain, "What had not answered answers again."),
        new(ServiceStarted, "The service answers at the address in the line."),
        new(ServiceStopping, "The service was asked to end; the rigs are made safe first."),
        new(RunNotOpened, "The record of a run could not be begun, and the run was refused.", "The line says what the store answered; sweeprig doctor looks at it."),
        new(RunEndNotRecorded, "The end of a run could not be recorded.", "The next start marks it incomplete. Look at the disk."),
        new(SamplesNotRecorded, "Samples could not be recorded; the bench tripped.", "Free room, or mend the disk; then acknowledge the trip and sweep again."),
        new(PointsMeasuredAgain, "Frames were lost on the way; the missing points are measured again.", "If it happens often, look at cable and baud rate."),
        new(DrivesNotChosen, "An adaptive sweep could not choose where to go on, and ended with what was measured.", "Please report it with the line."),
        new(Tripped, "An interlock fired; the rig was made safe.", "The page and sweeprig doctor say what usually lies behind it. Acknowledge it once the cause is gone."),
        new(TripNotRecorded, "A trip could not be recorded.", "Look at the disk."),
        new(SafeNotConfirmed, "The rig did not confirm that it is safe.", "Switch its supplies off by hand, then look at the link. Its lease makes it safe by itself."),
        new(PermitGranted, "Somebody permitted positive drive; the line says up to where, until when and why."),
        new(PermitEnded, "A permit for positive drive ended."),
        new(SilentWhileStopping, "A rig did not answer while the service stopped.", "It makes itself safe when its lease ends. Switch its supplies off by hand if it has none."),
        new(SuppliesLeftOn, "A rig on a direct bus could not be switched off at the end.", "Switch its supplies off by hand now."),
        new(RigConnected, "A rig is connected."),
        new(RigCalibration, "A rig works on the calibration in the line."),
        new(RigRestarted, "A rig restarted by itself.", "Look at its supply; a brown-out or its watchdog does this."),
        new(LinkDown, "The link to a rig is down; it is tried again by itself.", "Look at cable and power if it stays down."),
        new(PortLost, "A port could not be opened, or was lost.", "The line says what to do."),
        new(DamagedFrame, "A frame came damaged and was dropped.", "A few an hour do no harm. More point to cable, ground or baud rate."),
        new(SenselessFrame, "A rig sent a good frame that makes no sense; the link was broken off with the rig safe.", "Firmware and program differ, or the firmware is at fault. Please report it with the line."),
        new(FlightRecord, "What a rig kept of the moments before its last reset."),
        new(StoreAway, "The server of the shared store does not answer; samples are kept in the data directory meanwhile.", "Start the server. Nothing else is to be done."),
        new(StoreBack, "The server is back, and has all that waited."),
        new(WritesWait, "The service ended while writes waited for the server.", "Start it again when the server is back."),
        new(WritesStuck, "What waits cannot be brought to the server.", "The line says what the server answered."),
        new(RunNotMarked, "A run could not be marked incomplete.", "The next start does it. Look at the disk."),
        new(RunUnreadable, "A run on record cannot be read and is left out of the list.", "Restore the store from a backup if the run matters."),
        new(RunNotPacked, "The blocks of an ended run stay as they were recorded; it is read all the same."),
        new(RoundStepFailed, "A step of a screening round failed.", "The round says what to do."),
        new(RoundRunUnread, "A run of a round cannot be looked at yet.", "Nothing, if the store is back soon."),
        new(NightStepLost, "A step of the night could not be kept or begun.", "Look at the store: sweeprig doctor. The night says what became of it."),
        new(NightStepFailed, "A step of the night failed, and is repeated if the night allows it.", "The morning report names it."),
        new(EventsWait, "Events of the bench wait in a file, as the store does not take them.", "Look at the store: sweeprig doctor."),
        new(EventNotKept, "An event of the bench could not be kept; the line is all that there is of it.", "Look at the store."),
        new(MorningNotMade, "The morning report could not be made.", "sweeprig report night makes it again; the line says what stood in the way."),
        new(AlarmsInMemory, "What became of alarms is not on disk, and would be forgotten at a restart.", "Look at the disk: sweeprig doctor."),
        new(AlarmsBegunAnew, "The list of alarms that were to be sent could not be read and was begun anew.", "Read the events; an alarm of before may not have been delivered."),
        new(DriftUnseen, "A tube was not compared with what it was before.", "sweeprig drift does it by hand."),
        new(NoSignOfLife, "The sign of life could not be given; whoever waits for it takes the machine for dead.", "The line says why; look at the network or the address in alarms.json."),
        new(EventsDamaged, "The file in which events wait for the store cannot be read or taken away, or has lines that are none.", "Look at the file that the line names; what a log of the service has of that time is not lost."),
        new(EventsInMemory, "Events of the bench wait in memory alone; so many are lost if the service dies before the store takes them.", "Look at the disk: sweeprig doctor."),
        new(MessageFailed, "A fault of SweepRig: the bench was made safe.", "Please report it with the line."),
        new(SafeFailed, "A fault of SweepRig: making safe failed too.", "Switch the supplies off by hand, and report it with the line."),
        new(OwnerFailed, "A fault of SweepRig: what owns a rig failed.", "The rig makes itself safe by its lease. Please report it with the line."),
        new(ForeignCalibration, "A fault of SweepRig: a rig was offered the calibration of another, and works on nominal values.", "Please report it."),
        new(ViewerFailed, "A fault of SweepRig: a page stands still.", "Load it again, and report it with the line."),
        new(WatchFailed, "A fault of SweepRig: a rig is no longer watched for alarms; its interlocks do not depend on that.", "Start the service again, and report it with the line."),
        new(InterlocksBroken, "A fault of SweepRig: the interlocks broke a rule of their own, and the bench was made safe.", "Please report it with the line."),
    ];
}
