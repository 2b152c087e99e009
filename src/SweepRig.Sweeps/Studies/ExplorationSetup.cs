using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Studies;

/// <summary>At which an exploration goes no further.</summary>
/// <param name="GridCurrent">Largest current into grid 1.</param>
/// <param name="GridDissipation">Power of grid 1.</param>
/// <param name="PlateDissipation">Null where nothing is known of it.</param>
/// <param name="ScreenDissipation">Null where nothing is known of it, and in triode connection.</param>
/// <param name="GridCoulombs">Charge into the grid above 0 V drive, over the whole exploration.</param>
public sealed record ExplorationLimits(Amps GridCurrent, Watts GridDissipation, Watts? PlateDissipation, Watts? ScreenDissipation, double GridCoulombs)
{
    /// <summary>An exploration stays so far below the interlock, which is there for faults.</summary>
    public const double ShareOfInterlock = 0.8;

    /// <summary>Small receiving tubes have no rating of it, as they were not meant to draw grid current; a tenth of a watt makes their grids emit (common practice, no source), half of that is allowed.</summary>
    public static Watts DefaultGridDissipation { get; } = new(50e-3);

    /// <summary>Five times what an exploration of a sound tube up to 24 V through 4.7 kΩ takes; illustrative.</summary>
    public const double DefaultCoulombs = 50e-3;

    public static ExplorationLimits Of(RigIdentity rig, TypeRatings? ratings)
    {
        ArgumentNullException.ThrowIfNull(rig);
        return new(new(ShareOfInterlock * rig.HardLimits.GridCurrent.Value), DefaultGridDissipation, ratings?.PlateDissipation, ratings?.ScreenDissipation, DefaultCoulombs);
    }
}

/// <summary>How far the grid of a tube may go positive.</summary>
/// <param name="Ceiling">Highest drive to try, above 0 V.</param>
/// <param name="Limits">Where it goes no further.</param>
public sealed record ExplorationSetup(string StudyId, Tube Tube, int Socket, Connection Fixture, Volts Ceiling, ExplorationLimits Limits) : StudySetup(StudyId, Tube, Socket, Fixture)
{
    public const double LeastStepVolts = 0.2, MostStepVolts = 5;

    /// <summary>After so many steps they are twice as wide.</summary>
    public const int NarrowSteps = 8;

    public override StudyKind Kind => StudyKind.Exploration;

    /// <summary>From ceiling to ceiling at first, V; default 1, range 0.2 to 5. From the eighth step on twice that.</summary>
    public double StepVolts { get; init; } = 1;

    /// <summary>Hot before the first sweep; default 60 s, as cathodes need 10 to 30 s and their currents some more to come to rest (common practice, no source).</summary>
    public TimeSpan Settle { get; init; } = TimeSpan.FromSeconds(60);

    /// <summary>Left alone between a sweep with positive drive and the reference after it; default 5 s, range 0 to 10 min.</summary>
    public TimeSpan Rest { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Reference sweeps before any positive drive; default 5, range 3 to 20.</summary>
    public int BaselineSweeps { get; init; } = 5;

    /// <summary>Share of explorations of a tube that does not change which end with "did not recover", at most; default 1 %.</summary>
    public double FalseAlarms { get; init; } = 0.01;

    /// <summary>The ceilings in turn, V.</summary>
    public IReadOnlyList<double> Ceilings
    {
        get
        {
            List<double> all = [];
            for (var at = StepVolts; at < Ceiling.Value - 1e-9; at += all.Count < NarrowSteps ? StepVolts : 2 * StepVolts) all.Add(Math.Round(at, 3));
            all.Add(Ceiling.Value);
            return all;
        }
    }

    /// <summary>Every reason against it.</summary>
    /// <param name="rig">The rig at hand.</param>
    /// <param name="ratings">Of the tube's type; null where it is not known.</param>
    public IReadOnlyList<Refusal> Faults(RigIdentity rig, TypeRatings? ratings)
    {
        ArgumentNullException.ThrowIfNull(rig);
        List<Refusal> faults = [];
        void Check(bool good, string code, string path, string asked, string allowed, string remedy)
        {
            if (!good) faults.Add(new(code, path, asked, allowed, remedy));
        }
        var most = rig.HardLimits.DriveCeiling;
        Check(Ceiling.Value > 0 && Ceiling <= most, "exploration-ceiling", "/ceilingVolts", $"an exploration up to {Ceiling} was asked for", $"above 0 V, up to this rig's ceiling of {most}, is allowed", $"Ask for {most} or less.");
        Check(StepVolts is >= LeastStepVolts and <= MostStepVolts, "exploration-step", "/stepVolts", $"steps of {new Volts(StepVolts)} were asked for", $"{LeastStepVolts} V to {MostStepVolts} V is allowed", "Take 1 V.");
        Check(BaselineSweeps is >= 3 and <= 20, "exploration-baseline", "/baselineSweeps", $"{BaselineSweeps} reference sweeps before were asked for", "3 to 20 are allowed", "Take 5.");
        Check(Rest >= TimeSpan.Zero && Rest <= TimeSpan.FromMinutes(10), "exploration-rest", "/restSeconds", FormattableString.Invariant($"a rest of {Rest.TotalSeconds:0.#} s was asked for"), "0 s to 600 s is allowed", "Take 5 s.");
        Check(FalseAlarms is > 0 and <= 0.2, "exploration-false-alarms", "/falseAlarms", FormattableString.Invariant($"a false-alarm share of {FalseAlarms} was asked for"), "above 0, up to 0.2, is allowed", "Take 0.01.");
        var hard = rig.HardLimits.GridCurrent;
        Check(Limits.GridCurrent.Value > 0 && Limits.GridCurrent <= hard, "exploration-grid-current", "/limits/gridMilliamperes", $"a limit of {Limits.GridCurrent} of grid current was asked for", $"above 0, up to this rig's {hard}, is allowed", $"Ask for {hard} or less.");
        Check(Limits.GridCoulombs > 0, "exploration-charge", "/limits/gridMillicoulombs", FormattableString.Invariant($"a limit of {1e3 * Limits.GridCoulombs} mC was asked for"), "above 0 is allowed", "Take 50 mC.");
        Check(!(Limits.PlateDissipation?.Value > ratings?.PlateDissipation?.Value), "exploration-plate", "/limits/plateWatts", $"a limit of {Limits.PlateDissipation} in the plate was asked for", $"type {ratings?.TypeName} bears {ratings?.PlateDissipation}", $"Ask for {ratings?.PlateDissipation} or less.");
        Check(!(Limits.ScreenDissipation?.Value > ratings?.ScreenDissipation?.Value), "exploration-screen", "/limits/screenWatts", $"a limit of {Limits.ScreenDissipation} in the screen was asked for", $"type {ratings?.TypeName} bears {ratings?.ScreenDissipation}", $"Ask for {ratings?.ScreenDissipation} or less.");
        return faults;
    }
}
