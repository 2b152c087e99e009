using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Wire.Exploration;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>
/// All that every event does in every state, against <c>outcomes.txt</c>: what changes and what is ordered, for people to read. What is not there does nothing. Written anew with
/// SWEEPRIG_WRITE_OUTCOMES=1; each line that then differs is a change of the interlocks and must be meant.
/// </summary>
public sealed class OutcomeTableTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);
    private static readonly HostLimits Limits = WatchedSweep.Limits;
    private static readonly HostLimits Tight = OutcomeText.Tight;
    private static readonly Permit Permit = InterlockTableTests.States["permitted"].Permit!;
    private static readonly InterlockState Clear = InterlockState.Initial with { Limits = Limits };

    private static readonly InterlockState Pass = Clear with
    {
        // Four of its points take a whole second, so that the longest silence is met exactly.
        Armed = 24, Permit = Permit, UnattendedLimits = Tight, Pass = WatchedSweep.Pass with { PointSeconds = 0.25 },
        Memory = new() { Exposure = Exposure.None.With(WatchedSweep.Sound(5) with { PositiveSeconds = 1 }), GridHotBlocks = 1, Supplies = (28, 6.3) },
        Clock = new(SilentSince: 100, RigLast: 50, RigFrom: 45, HostFrom: 95, WallAhead: 1000),
    };

    private static readonly InterlockState Tripped = Pass with { Trip = InterlockTableTests.States["tripped"].Trip };

    internal static IEnumerable<KeyValuePair<string, InterlockState>> States =>
        InterlockTableTests.States.Concat(new Dictionary<string, InterlockState>
        {
            ["in a pass"] = Pass,
            ["in a pass, unattended"] = Pass with { IsUnattended = true, Armed = 12 },
            ["in a pass, attended after the run"] = Pass with { IsUnattended = true, AttendedAfterRun = true },
            ["in a pass, tripped"] = Tripped with { StatusSinceTrip = true, RigCausePresent = true, RigBusy = true },
            ["in a pass, tripped, unattended"] = Tripped with { IsUnattended = true },
            ["in a pass below 0 V"] = Pass with { Armed = 0, Permit = null },
            ["in a pass, held for a meter"] = Pass with { Pass = WatchedSweep.Pass with { IsSweep = false, WarmSeconds = 0 } },
            ["in a pass that wants half a second of heater"] = Pass with { Pass = WatchedSweep.Pass with { WarmSeconds = 0.5 } },
            ["in a pass with a clock that hardly goes"] = Pass with { Clock = Pass.Clock with { RigFrom = 49.75 } },
            ["in a pass with a clock that goes half as fast"] = Pass with { Clock = Pass.Clock with { RigFrom = 45 }, Limits = Limits with { RigClockLag = 0.5 } },
            ["between passes"] = Pass with { Pass = null },
            ["between runs"] = Pass with { Pass = null, Armed = null },
            ["permit for unattended hours"] = Clear with { Permit = Permit with { Duration = TimeSpan.FromHours(9) }, UnattendedLimits = Tight, Armed = 0 },
            ["releasing, all else set"] = Tripped with { Releasing = true, StatusSinceTrip = true, RigCausePresent = true, RigBusy = true, Armed = null },
            ["tripped, no link, told"] = InterlockTableTests.States["tripped, no link"] with { StatusSinceTrip = true },
            ["above the unattended ceiling"] = Pass with { Armed = Tight.DriveCeiling + 1, Permit = Permit with { Ceiling = new(30) } },
            ["above it by rounding"] = Pass with { Armed = Tight.DriveCeiling + 5e-10, Permit = Permit with { Ceiling = new(30) } },
            ["above it, tripped"] = Tripped with { Armed = Tight.DriveCeiling + 1, StatusSinceTrip = true },
            ["up to half a volt"] = Pass with { Armed = 0.5 },
            // None that is clear remembers such things; a trip would not believe them.
            ["clear with rests of a trip"] = Clear with { StatusSinceTrip = true, RigCausePresent = true, RigBusy = true, Releasing = true },
            ["told busy"] = InterlockTableTests.States["tripped"] with { StatusSinceTrip = true, RigBusy = true },
        });

    internal static IEnumerable<KeyValuePair<string, InterlockEvent>> Events =>
        InterlockTableTests.Events.Where(e => e.Key is not "permit" and not "low permit").Concat(new Dictionary<string, InterlockEvent>
        {
            ["permit again"] = new InterlockEvent.PermitGranted(Permit),
            ["permit for 24 V"] = new InterlockEvent.PermitGranted(Permit with { Reason = "24 V" }),
            ["permit for 23.9 V"] = new InterlockEvent.PermitGranted(Permit with { Ceiling = new(23.9) }),
            ["permit that ends now"] = new InterlockEvent.PermitGranted(Permit with { Duration = TimeSpan.FromMinutes(1) }),
            ["link up with both limits"] = new InterlockEvent.LinkUp(Limits, Tight),
            ["both limits anew"] = new InterlockEvent.LimitsChanged(Limits with { GridCurrent = 1e-3 }, Tight),
            ["arm by rounding above 24 V"] = new InterlockEvent.SweepArmed(24 + 5e-10),
            ["arm above 24 V"] = new InterlockEvent.SweepArmed(24 + 2e-9),
            ["pass begins"] = new InterlockEvent.PassBegun(WatchedSweep.Pass with { RailVolts = 27 }, 103),
            ["pass of the same supplies begins"] = new InterlockEvent.PassBegun(WatchedSweep.Pass, 103),
            ["pass ends"] = new InterlockEvent.PassEnded(),
            ["sound block"] = new InterlockEvent.Block(WatchedSweep.Sound(6), 106),
            ["third hot block"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { GridWatts = 5 }, 106),
            ["drive at the ceiling"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxDrive = 24 }, 106),
            ["drive by rounding above it"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxDrive = 24 + 5e-10 }, 106),
            ["read back at the edge"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxReadBack = 24 + Limits.ReadBackRoomVolts }, 106),
            ["grid current at its limit"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxGridCurrent = Limits.GridCurrent }, 106),
            ["cathode current at its limit"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxCathodeCurrent = Limits.CathodeCurrent }, 106),
            ["rail at its highest"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MaxSupply = Limits.SupplyMax }, 106),
            ["rail at its lowest"] = new InterlockEvent.Block(WatchedSweep.Sound(6) with { MinSupply = Limits.SupplyMin }, 106),
            ["warm status"] = Status(60, 51, 106),
            ["status with the heater off"] = Status(0, 51, 106),
            ["status with the heater on for half a second"] = Status(0.5, 51, 106),
            ["status at rest"] = Status(60, 51, 106) with { Running = false },
            ["status at rest with a clock gone back"] = Status(60, 49.9, 106) with { Running = false },
            ["status a second short of warm"] = Status(39, 51, 106),
            ["status more than a second short"] = Status(38.9, 51, 106),
            ["status with the same clock"] = Status(60, 50, 106),
            ["status with a clock gone back"] = Status(60, 49.9, 106),
            ["status after ten seconds"] = Status(60, 55, 105),
            ["status short of ten seconds"] = Status(60, 50, 104.9),
            ["status with a slow clock"] = Status(60, 50, 105),
            ["status without the rig's clock"] = Status(60, double.NaN, 106),
            ["status without the host's clock"] = Status(60, 51, double.NaN),
            ["clocks go on"] = new InterlockEvent.Clocks(101, 1101, true),
            ["clocks, pass not running"] = new InterlockEvent.Clocks(101, 1101, false),
            ["clocks at the longest silence"] = new InterlockEvent.Clocks(106, 1106, true),
            ["clocks beyond it"] = new InterlockEvent.Clocks(106.25, 1106.25, true),
            ["wall clock jumps ahead"] = new InterlockEvent.Clocks(101, 1111.5, true),
            ["wall clock jumps back"] = new InterlockEvent.Clocks(101, 1090.5, true),
            ["wall clock jumps as far as it may"] = new InterlockEvent.Clocks(101, 1111, true),
        });

    [Fact]
    public void Every_event_in_every_state_does_what_stands_in_the_table()
    {
        var lines = new List<string>();
        foreach (var (name, happened) in Events)
        {
            Add(name, happened, Now);
            if (name is "tick" or "rig trip" or "safe" or "status clear" or "permit for 23.9 V" or "drive at the ceiling" or "arm 24") Add($"{name}, when the permit ends", happened, Permit.EndsUtc);
        }
        var file = Path.Combine(FirmwareLibrary.Root(), "tests/SweepRig.Sweeps.Tests/Interlocks/outcomes.txt");
        if (Environment.GetEnvironmentVariable("SWEEPRIG_WRITE_OUTCOMES") == "1") File.WriteAllLines(file, lines);
        Assert.Equal(File.ReadAllLines(file), lines);

        void Add(string name, InterlockEvent happened, DateTimeOffset at)
        {
            lines.Add(name);
            foreach (var outcome in States.Select(s => (s.Key, Text: OutcomeText.Of(s.Value, InterlockMachine.Next(s.Value, happened, at)))).Where(o => o.Text.Length > 0).GroupBy(o => o.Text))
                lines.Add($"  {string.Join("; ", outcome.Select(o => o.Key))}: {outcome.Key}");
        }
    }

    private static InterlockEvent.RigStatus Status(double heater, double rig, double host) =>
        new(null, false, Running: true) { HeaterSeconds = heater, RigSeconds = rig, HostSeconds = host };
}
