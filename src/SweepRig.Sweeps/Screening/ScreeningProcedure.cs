using System.Collections.Immutable;
using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;

namespace SweepRig.Sweeps.Screening;

/// <summary>
/// The screening program as a state without clock or hardware: what to do next follows from what was seen. Cold steps come first and the plate rail is raised
/// gently, so that a short ends the program before anything is heated; then the warming is watched, and the rest needs a warm tube.
/// </summary>
public sealed record ScreeningProcedure
{
    /// <summary>Drives of the grid-current steps; more where residual gas and grid emission show, which is just below the onset of forward current.</summary>
    private static readonly double[] GridDrives = [-10, -6, -3, -2, -1.6, -1.3, -1.1, -0.9, -0.8, -0.7, -0.6];

    /// <summary>Rail of the first look, V: through 100 ohm it drives at most 20 mA.</summary>
    private const double LowRailVolts = 2;

    private const int SlowDwell = 2_000, SlowConversions = 256, PointsADrive = 16;

    /// <summary>Quick samples: 0.5 ms each at 16 us a conversion.</summary>
    private const int QuickDwell = 420, CutOffPoints = 2_000, QuietPoints = 8_000, TappedPoints = 12_000;

    private const double LowHeaterPart = 0.9;

    private ScreeningProcedure(RigIdentity rig, ScreeningSetup setup) => (Rig, Setup) = (rig, setup);

    public RigIdentity Rig { get; }

    public ScreeningSetup Setup { get; }

    /// <summary>What was seen so far, in order.</summary>
    public ImmutableList<ScreeningRun> Runs { get; private init; } = [];

    /// <summary>Why the program ends before its last step, for people; null while it goes on or when it ran to its end.</summary>
    public string? EndedEarly { get; private init; }

    /// <summary>What this rig cannot do, for people; empty where it can do all.</summary>
    public IReadOnlyList<string> LeftOut
    {
        get
        {
            List<string> left = [];
            if (!Rig.Supplies.HasFlag(Supplies.HeaterAdjustable)) left.Add("emission reserve: this rig cannot lower its heater voltage");
            if (!Rig.Supplies.HasFlag(Supplies.PlateRailAdjustable)) left.Add("first look at a low rail: this rig cannot set its plate rail, so a short trips it instead");
            if (!Setup.Taps) left.Add("microphony: nobody taps the bulb");
            return left;
        }
    }

    /// <summary>Steps of the whole program on this rig.</summary>
    public IReadOnlyList<ScreeningStepKind> Program
    {
        get
        {
            List<ScreeningStepKind> kinds = [ScreeningStepKind.ColdRailOff];
            if (Rig.Supplies.HasFlag(Supplies.PlateRailAdjustable)) kinds.Add(ScreeningStepKind.ColdLowRail);
            kinds.AddRange([ScreeningStepKind.ColdRailOn, ScreeningStepKind.WarmUp, ScreeningStepKind.FirstMinutes, ScreeningStepKind.Transfer, ScreeningStepKind.GridCurrent, ScreeningStepKind.Quiet]);
            if (Setup.Taps) kinds.Add(ScreeningStepKind.Tapped);
            if (Rig.Supplies.HasFlag(Supplies.HeaterAdjustable)) kinds.Add(ScreeningStepKind.LowHeater);
            return kinds;
        }
    }

    /// <summary>The next step; null when there is none.</summary>
    public ScreeningStep? Next => EndedEarly is null && Runs.Count < Program.Count ? Step(Program[Runs.Count]) : null;

    public static ScreeningProcedure Begin(RigIdentity rig, ScreeningSetup setup) => new(rig, setup);

    /// <summary>Goes on with what the step showed.</summary>
    /// <exception cref="InvalidOperationException">The run is not of the step that is due.</exception>
    public ScreeningProcedure With(ScreeningRun run)
    {
        if (Next is not { } due || due.Kind != run.Kind) throw new InvalidOperationException($"SweepRig bug: a run of step {run.Kind} came where {Next?.Kind.ToString() ?? "none"} was due.");
        return this with { Runs = Runs.Add(run), EndedEarly = EndOf(run) };
    }

    private string? EndOf(ScreeningRun run)
    {
        if (run.Trips.Count > 0) return $"an interlock fired in step \"{Step(run.Kind).Title}\"";
        if (run.State != RunState.Complete || run.Curve is not { } curve) return $"step \"{Step(run.Kind).Title}\" did not run to its end";
        return run.Kind switch
        {
            ScreeningStepKind.ColdRailOff or ScreeningStepKind.ColdLowRail or ScreeningStepKind.ColdRailOn => ScreeningLooks.ShortIn(curve, Setup.Fixture),
            ScreeningStepKind.WarmUp => ScreeningLooks.CurrentAtEnd(curve) is var amps && amps < ScreeningLooks.LeastAmps
                ? $"the tube does not conduct {(Setup.WarmUp.TotalSeconds / Math.Max(1, Setup.HeaterSpeed)).ToString("0.#", CultureInfo.InvariantCulture)} s after the heater was switched on ({new Amps(amps)} of plate current at 0 V)"
                : null,
            _ => null,
        };
    }

    private ScreeningStep Step(ScreeningStepKind kind)
    {
        var fixture = Setup.Fixture;
        double heater = fixture.Heater.Value, rail = fixture.PlateRail.Value;
        return kind switch
        {
            ScreeningStepKind.ColdRailOff => new(kind, "grid path, cold, rail off", null, null, GridPoints(), SlowDwell, SlowConversions),
            ScreeningStepKind.ColdLowRail => new(kind, "shorts, cold, low rail", null, Math.Max(LowRailVolts, Rig.HardLimits.SupplyMin.Value), [DriveRun.Hold(Floor, 8), DriveRun.Hold(Floor / 2, 8), DriveRun.Hold(0, 8)], SlowDwell, SlowConversions),
            ScreeningStepKind.ColdRailOn => new(kind, "insulation, cold, rail on", null, rail, GridPoints(), SlowDwell, SlowConversions),
            ScreeningStepKind.WarmUp => Watch(kind, "warming up", heater, Setup.WarmUp, 20_000, 64),
            ScreeningStepKind.FirstMinutes => Watch(kind, "first minutes", heater, Setup.FirstMinutes, 80_000, SlowConversions),
            ScreeningStepKind.Transfer => new(kind, "transfer, warm", heater, rail, [new(Floor, 0, 281)], SlowDwell, 64),
            ScreeningStepKind.GridCurrent => new(kind, "grid current, warm", heater, rail, GridPoints(), SlowDwell, SlowConversions),
            ScreeningStepKind.Quiet => new(kind, "noise and hum", heater, rail, [DriveRun.Hold(Floor, CutOffPoints), DriveRun.Hold(SteepestDrive, QuietPoints)], QuickDwell, 1),
            ScreeningStepKind.Tapped => new(kind, "tapping", heater, rail, [DriveRun.Hold(SteepestDrive, TappedPoints)], QuickDwell, 1),
            ScreeningStepKind.LowHeater => Watch(kind, "heater 10 % lower", LowHeaterPart * heater, Setup.LowHeater, 80_000, SlowConversions),
            _ => throw new InvalidOperationException($"SweepRig bug: there is no step {kind}."),
        };
    }

    private double Floor => Math.Max(Rig.HardLimits.DriveFloor.Value, Setup.Fixture.BiasRail.Value);

    private double SteepestDrive => Runs.Find(r => r.Kind == ScreeningStepKind.Transfer)?.Curve is { } transfer ? ScreeningLooks.SteepestDrive(transfer) : 0;

    private IReadOnlyList<DriveRun> GridPoints() => [.. GridDrives.Where(d => d > Floor).Prepend(Floor).Select(d => DriveRun.Hold(d, PointsADrive))];

    private ScreeningStep Watch(ScreeningStepKind kind, string title, double heater, TimeSpan time, int dwell, int conversions)
    {
        var speed = Math.Max(1, Setup.HeaterSpeed);
        var point = dwell + 5.0 * conversions * Rig.ConversionMicroseconds;
        // A quick heater is watched by as many points in less time, as far as the averaging allows.
        var quick = Math.Max(SlowDwell, dwell / speed) + 5.0 * conversions * Rig.ConversionMicroseconds;
        var points = Math.Max(40, (int)Math.Ceiling(time.TotalMicroseconds / speed / (speed > 1 ? quick : point)));
        return new(kind, title, heater, Setup.Fixture.PlateRail.Value, [DriveRun.Hold(0, points)], speed > 1 ? (int)Math.Max(SlowDwell, dwell / speed) : dwell, conversions);
    }
}
