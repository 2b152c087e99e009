using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Tubes.Lots;
using static SweepRig.Domain.Interlocks.TripCause;
using static SweepRig.Sweeps.Tests.Faults.FaultCase;
using static SweepRig.Tubes.Lots.Electrode;

namespace SweepRig.Sweeps.Tests.Faults;

/// <summary>Every fault that the simulated bench can have, with a sound 6AU6 on 28 V behind the reference fixture unless a case says otherwise.</summary>
internal static class FaultCases
{
    public static IReadOnlyList<FaultCase> All { get; } = [.. Rig(), .. Readings(), .. LinkAndClocks(), .. Tubes()];

    /// <summary>Rules that no fault of a simulated bench reaches, and why; each has its test by itself in <c>Interlocks</c> or <c>Running</c>.</summary>
    public static IReadOnlyDictionary<string, string> NotTripped { get; } = new Dictionary<string, string>
    {
        ["drive-ceiling"] = "no rig drives above its program unnoticed: its own read-back trips first",
        ["permit-length"] = "no fault: time alone",
        ["positive-time"] = "planned so that it cannot be; the rig counts too",
        ["positive-charge"] = "the reference stopper lets no more through in the time that is planned",
        ["plate-dissipation"] = "no resistor of the fixture lets more through than was reckoned beforehand, and a wrong rail trips first",
        ["heater-warm-up"] = "a simulated heater goes off by the host's word alone, or after a minute of silence",
        ["read-back"] = "the rig compares on every conversion, as tightly, and is first",
        ["heater-supply"] = "the simulated rig has no meter on its heaters",
        ["recording"] = "no fault of a rig",
    };

    /// <summary>Outputs and supplies that do not do what they are told.</summary>
    private static IEnumerable<FaultCase> Rig() =>
    [
        new("nothing is wrong", null),
        new("the drive is 2 V off", DriveReadBack) { Fault = at => new SimulatedFault.DriveOff(2) { FromMicroseconds = at }, Within = Ms(50) },
        new("the drive is 0.2 V off", null) { Fault = at => new SimulatedFault.DriveOff(0.2) { FromMicroseconds = at } },
        new("the DAC hangs", DriveReadBack) { Fault = at => new SimulatedFault.DriveStuck(1_000) { FromMicroseconds = at }, Within = Ms(200) },
        new("the plate rail goes above the rig's range", SupplyRange) { Fault = at => new SimulatedFault.SupplyOff(15) { FromMicroseconds = at }, Within = Ms(50) },
        new("the plate rail is a third too high", HostSupplyRange) { Fault = at => new SimulatedFault.SupplyOff(9) { FromMicroseconds = at }, Within = Ms(200) },
        new("the plate rail is a fifth too high", ScreenDissipation, HostSupplyRange) { Fault = at => new SimulatedFault.SupplyOff(5.6) { FromMicroseconds = at }, Within = TimeSpan.FromSeconds(2) },
        new("the plate rail sags to a third", HostSupplyRange) { Fault = at => new SimulatedFault.SupplyOff(-18) { FromMicroseconds = at }, Within = Ms(200) },
        new("the plate rail sags by a fifth", null, HostSupplyRange) { Fault = at => new SimulatedFault.SupplyOff(-5.6) { FromMicroseconds = at }, Within = Ms(200) },
        new("the plate rail sags by a twentieth", null) { Fault = at => new SimulatedFault.SupplyOff(-1.4) { FromMicroseconds = at } },
        new("the emergency stop is pressed", EmergencyStop) { Fault = at => new SimulatedFault.EmergencyStop { FromMicroseconds = at }, Within = Ms(5) },
        new("the rig restarts", RigRestarted) { Fault = at => new SimulatedFault.Restart(ResetReason.BrownOut) { FromMicroseconds = at }, Within = Ms(5) },
        new("a bit of the limits changes", HostOrder) { Fault = at => new SimulatedFault.LimitsDamaged { FromMicroseconds = at }, Within = TimeSpan.FromSeconds(2) },
    ];

    /// <summary>Converters that lie, and lines between pin and converter.</summary>
    private static IEnumerable<FaultCase> Readings() =>
    [
        Stuck("the plate channel hangs in its middle", RigChannel.Plate, 2_000, ChannelStuck, Gentle, 1_500),
        Stuck("the screen channel hangs in its middle", RigChannel.Screen, 2_000, CathodeCurrent, Gentle, 50),
        Stuck("the grid channel hangs at 0 V", RigChannel.Grid, 2_048, ReverseGridCurrent, Gentle, 500),
        Stuck("the grid channel hangs at its lowest", RigChannel.Grid, 0, GridCurrent, Far, 1_500) with { Unattended = HostGridCurrent },
        Stuck("the plate channel hangs at its end", RigChannel.Plate, 4_095, ChannelClipped, Gentle, 2_000),
        Stuck("the supply channel hangs at its end", RigChannel.Supply, 4_095, CathodeCurrent, Gentle, 50),
        Stuck("the supply channel hangs at 0 V", RigChannel.Supply, 0, HostSupplyRange, Gentle, 200),
        Stuck("the drive's read-back hangs", RigChannel.Drive, 2_000, DriveReadBack, Gentle, 50),
        new("the drive reads 2 V too high", DriveReadBack) { Fault = at => new SimulatedFault.ReadBackOff(2) { FromMicroseconds = at }, Within = Ms(50) },
        new("conversions have 50 mV of noise", null) { Fault = at => new SimulatedFault.Noise(0.05) { FromMicroseconds = at } },
        new("a burst of 20 ms with 200 mV of noise", null) { Fault = at => new SimulatedFault.Noise(0.2) { FromMicroseconds = at, ToMicroseconds = at + 20_000 } },
        new("conversions have 5 V of noise", DriveReadBack) { Fault = at => new SimulatedFault.Noise(5) { FromMicroseconds = at } },
    ];

    private static IEnumerable<FaultCase> LinkAndClocks() =>
    [
        new("the cable is pulled", LinkLost) { Unplugs = true, Within = Ms(350) },
        new("the line to the host turns to noise", LinkLost) { Line = new() { Burst = 1 } },
        new("the rig says nothing any more", LinkLost) { Fault = at => new SimulatedFault.Mute { FromMicroseconds = at } },
        new("one frame in fifty is lost", null) { Line = new() { DropFrame = 0.02 } },
        new("one frame in fifty comes twice", null) { Line = new() { DuplicateFrame = 0.02 } },
        new("the rig sends no samples any more", StaleData) { Plan = Far with { DwellMicroseconds = 100_000 }, Fault = at => new SimulatedFault.NoSamples { FromMicroseconds = at }, Within = TimeSpan.FromSeconds(6) },
        new("the rig sends no status any more", null) { Fault = at => new SimulatedFault.NoStatus { FromMicroseconds = at } },
        new("the rig answers a fifth of a second late", null) { Fault = at => new SimulatedFault.SlowAnswers(200_000) { FromMicroseconds = at } },
        // It refuses the order to be safe too, which no firmware of ours does: the plate rail stays on for as long as the host is heard.
        new("the rig refuses whatever is asked", HostOrder) { Fault = at => new SimulatedFault.RefuseAll { FromMicroseconds = at }, Within = TimeSpan.MaxValue },
        new("the rig's clock is one fifth slow", null) { ClockRate = 0.8 },
        new("the rig's clock is one fifth fast", null) { ClockRate = 1.2 },
        new("the rig's clock all but stands still", LinkLost) { ClockRate = 0.05, Within = TimeSpan.FromSeconds(10) },
        new("the computer's clock is set by an hour", ClockTrouble) { Jump = TimeSpan.FromHours(-1), Within = TimeSpan.FromSeconds(2) },
        new("the computer's clock is set by 7 s", null, ClockTrouble) { Jump = TimeSpan.FromSeconds(-7), Within = TimeSpan.FromSeconds(2) },
        new("the computer's clock is set by 1 s", null) { Jump = TimeSpan.FromSeconds(1) },
        new("the computer's clock is set by an hour without a permit", null) { Plan = Gentle, Jump = TimeSpan.FromHours(-1) },
    ];

    private static IEnumerable<FaultCase> Tubes() =>
    [
        Tube("grid 1 touches the cathode", ReverseGridCurrent, new TubeDefect.Path(Grid, Cathode, 5)),
        Tube("grid 1 touches the screen", CathodeCurrent, new TubeDefect.Path(Grid, Screen, 5)),
        Tube("grid 1 touches the plate", ReverseGridCurrent, new TubeDefect.Path(Grid, Plate, 5)),
        Tube("the screen touches the plate", null, new TubeDefect.Path(Screen, Plate, 5)),
        Tube("plate and cathode touch behind 680 ohms", CathodeCurrent, new TubeDefect.Path(Plate, Cathode, 5)) with { Plan = Wired(plate: 680) },
        Tube("grid 1 leaks to the screen over 0.5 megohms", null, new TubeDefect.Path(Grid, Screen, 0.5e6)),
        Tube("gas: a fiftieth of the current", null, new TubeDefect.Gas(0.02)),
        Tube("gas: a tenth of the current", null, HostCathodeCurrent, new TubeDefect.Gas(0.1)),
        Tube("the heater is broken", null, new TubeDefect.OpenHeater()),
        Tube("the cathode is worn", null, new TubeDefect.LowEmission(1e-3)),
        Tube("the cathode pin touches badly", null, new TubeDefect.NoisyContact(300, 0.2, 0.1)),
        Tube("the heater hums", null, new TubeDefect.Hum(0.02)),
        Tube("the current wanders", null, new TubeDefect.Drift(0.05, 20)),
        Tube("grid current behind 2.7 kilohms", GridCurrent, HostGridCurrent, new TubeDefect.Path(Grid, Cathode, 5)) with { Plan = Wired(stopper: 2_700, from: 0.5) },
        Tube("grid current behind 3.6 kilohms", null, HostGridCurrent, new TubeDefect.Path(Grid, Cathode, 5)) with { Plan = Wired(stopper: 3_600, from: 0.5) },
        Tube("grid 1 takes 108 mW", GridDissipation, new TubeDefect.OpenHeater(), new TubeDefect.Path(Grid, Cathode, 3_000)) with { Plan = Wired(stopper: 1_000, from: 0.5) },
        Tube("grid 1 takes 65 mW", null, GridDissipation, new TubeDefect.OpenHeater(), new TubeDefect.Path(Grid, Cathode, 2_200)) with { Plan = Wired(stopper: 2_200, from: 0.5) },
        new("the current runs away", CurrentRunaway) { Plan = Gentle with { Points = 15, Repeats = 25 }, Fault = at => new SimulatedFault.Runaway(0.05) { FromMicroseconds = at }, Within = TimeSpan.FromSeconds(8) },
        new("the current creeps up by less than drift may", null) { Plan = Gentle with { Points = 15, Repeats = 25 }, Fault = at => new SimulatedFault.Runaway(0.002) { FromMicroseconds = at } },
    ];

    private static FaultCase Stuck(string name, RigChannel channel, int code, TripCause cause, Domain.Plans.SweepPlan plan, double within) =>
        new(name, cause) { Plan = plan, Fault = at => new SimulatedFault.ChannelStuck(channel, code) { FromMicroseconds = at }, Within = Ms(within) };

    private static FaultCase Tube(string name, TripCause? always, params TubeDefect[] defects) => Tube(name, always, always, defects);

    private static FaultCase Tube(string name, TripCause? attended, TripCause? unattended, params TubeDefect[] defects) => new(name, attended, unattended) { Defects = defects, Within = TimeSpan.FromSeconds(9) };

    private static Domain.Plans.SweepPlan Wired(double plate = 10_000, double stopper = 4_700, double from = -14) => Far with
    {
        Start = new(from),
        Points = from > 0 ? 100 : Far.Points,
        Connection = Far.Connection with { PlateResistor = new Ohms(plate), ScreenResistor = new Ohms(470), GridStopper = new Ohms(stopper) },
    };

    private static TimeSpan Ms(double ms) => TimeSpan.FromMilliseconds(ms);
}
