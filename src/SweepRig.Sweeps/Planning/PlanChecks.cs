using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Planning;

/// <summary>Each rule by itself; all reasons are collected. Pure.</summary>
internal sealed class PlanChecks(SweepRequest request, BenchFacts facts)
{
    /// <summary>Handbooks allow the heater 10 % either way of its rating; common practice, no source at hand.</summary>
    private const double HeaterTolerance = 0.10;

    /// <summary>
    /// A tube may draw this much more than an ordinary one of its type: far positive the space between grid and screen limits the screen current, and
    /// its constant is taken to spread by 8 % (one standard deviation, illustrative); two of them.
    /// </summary>
    private const double SpreadOfTubes = 1.16;

    private readonly SweepPlan _plan = request.Plan;
    private readonly RigLimits _limits = facts.Limits;
    private readonly List<Refusal> _reasons = [];

    public IReadOnlyList<Refusal> Reasons => _reasons;

    private double HighestRailVolts => _plan.SecondSource is { Source: SteppedSource.PlateRail } s
        ? Math.Max(s.From.Value, s.To.Value)
        : _plan.Connection.PlateRail.Value;

    public void Socket()
    {
        if (request.Socket >= 0 && request.Socket < facts.Rig.Sockets) return;
        Refuse("socket-absent", "/socket", $"socket {request.Socket} was asked for", $"this rig has sockets 0 to {facts.Rig.Sockets - 1}", "Put the tube in one of these and name it.");
    }

    public void Drive()
    {
        var driveMin = new Volts(Math.Max(_limits.DriveFloor.Value, facts.Rig.Drive.AtZero.Value));
        var driveMax = new Volts(Math.Min(_limits.DriveCeiling.Value, facts.Rig.Drive.AtFullScale.Value));
        if (_plan.Start < driveMin)
            Refuse("drive-below-floor", "/drive/startVolts", $"the sweep starts at {_plan.Start}", $"the floor of this rig is {driveMin}", $"Start at {driveMin} or higher.");
        if (_plan.Stop > driveMax)
            Refuse("drive-above-ceiling", "/drive/stopVolts", $"the sweep goes up to {_plan.Stop}", $"the ceiling of this rig is {driveMax}{Because(facts.Rig)}", $"Stop at {driveMax} or lower.");
        if (_plan.Start < _plan.Connection.BiasRail)
        {
            Refuse("drive-below-bias-rail", "/drive/startVolts", $"the sweep starts at {_plan.Start}", $"the bias rail is {_plan.Connection.BiasRail}",
                "No drive can be below the bias rail: start higher, or state the rail that the rig has.");
        }
    }

    public void Steps(DriveCodes codes)
    {
        var values = codes.High - codes.Low + 1;
        // An adaptive sweep may take a drive more than once; its first pass is even.
        var points = _plan.Adaptive?.FirstPoints ?? _plan.Points;
        if (values >= points) return;
        Refuse("points-finer-than-steps", "/drive/points", $"{points} points between {_plan.Start} and {_plan.Stop}",
            $"the drive has {Math.Max(values, 0)} steps there, {new Volts(facts.Rig.Drive.StepVolts)} each",
            values >= PlanLimits.MinPoints ? $"Take at most {values} points; use repeats to measure a point more often." : "Sweep over a wider range.");
    }

    /// <param name="longest">Longest that the run can take once warm.</param>
    public void Permit(TimeSpan longest)
    {
        // Where no drive may be positive at all a permit would mend nothing.
        if (_plan.Stop.Value <= 0 || _limits.DriveCeiling.Value <= 0) return;
        if (facts.Permit is not { } permit)
        {
            Refuse("positive-drive-without-permit", "/drive/stopVolts", $"the sweep goes up to {_plan.Stop}", "without a permit the highest drive is 0 V",
                $"Stop at 0 V, or grant a permit up to {_plan.Stop} with a reason.");
            return;
        }
        if (_plan.Stop > permit.Ceiling)
        {
            Refuse("drive-above-permit", "/drive/stopVolts", $"the sweep goes up to {_plan.Stop}", $"the permit in force ends at {permit.Ceiling}",
                $"Stop at {permit.Ceiling}, or end this permit and grant one up to {_plan.Stop}.");
        }
        var heaterChanges = _plan.SecondSource is { Source: SteppedSource.Heater } stepped ? (long)stepped.Steps * _plan.Repeats - 1 : 0;
        var needed = facts.WarmUpLeft + heaterChanges * facts.WarmAfter + longest;
        var left = permit.EndsUtc - facts.NowUtc;
        if (left >= needed) return;
        Refuse("permit-too-short", "/drive/stopVolts", $"warming up and sweeping may take {Seconds(needed)}", $"the permit in force ends in {Seconds(left < TimeSpan.Zero ? TimeSpan.Zero : left)}",
            "Grant a permit that lasts longer, or sweep fewer points.");
    }

    public void PositiveBudget(double worstMinuteSeconds)
    {
        if (worstMinuteSeconds <= _limits.PositiveSecondsPerMinute) return;
        Refuse("positive-time-over-budget", "/drive/stopVolts", $"the grid would be positive for {Number(worstMinuteSeconds)} s within a minute",
            $"this rig allows {Number(_limits.PositiveSecondsPerMinute)} s", "Use fewer points, a shorter dwell or fewer conversions, or sweep the positive part by itself.");
    }

    public void Rails()
    {
        var path = _plan.SecondSource is { Source: SteppedSource.PlateRail } ? "/secondSource" : "/connection/plateRailVolts";
        var railMax = new Volts(Math.Min(_limits.SupplyMax.Value, ExtraLowVoltage.Limit.Value));
        var lowest = _plan.SecondSource is { Source: SteppedSource.PlateRail } s ? Math.Min(s.From.Value, s.To.Value) : _plan.Connection.PlateRail.Value;
        if (HighestRailVolts > railMax.Value)
            Refuse("rail-above-range", path, $"the plate rail goes up to {new Volts(HighestRailVolts)}", $"this rig allows {_limits.SupplyMin} to {railMax}", $"Use a rail of at most {railMax}.");
        if (lowest < _limits.SupplyMin.Value)
            Refuse("rail-below-range", path, $"the plate rail goes down to {new Volts(lowest)}", $"this rig allows {_limits.SupplyMin} to {railMax}", $"Use a rail of at least {_limits.SupplyMin}.");
        var plate = facts.Rig.Channels[(int)RigChannel.Plate];
        if (HighestRailVolts > plate.AtFullScale.Value && HighestRailVolts <= railMax.Value)
            Refuse("rail-above-channel", path, $"the plate rail goes up to {new Volts(HighestRailVolts)}", $"the plate channel reads up to {plate.AtFullScale}", $"Use a rail of at most {plate.AtFullScale}, or a rig with a larger divider.");
    }

    public void SecondSource()
    {
        if (_plan.SecondSource is not { } second) return;
        var (needed, name) = second.Source == SteppedSource.PlateRail
            ? (Supplies.PlateRailAdjustable, "plate rail")
            : (Supplies.HeaterAdjustable, "heater voltage");
        if (facts.Rig.Supplies.HasFlag(needed)) return;
        Refuse("second-source-not-settable", "/secondSource/source", $"the {name} is to be stepped", $"this rig cannot set its {name}", "Leave the second source out and change the supply by hand between runs.");
    }

    public void Settling()
    {
        if (_plan.Settle is not { } settle) return;
        var step = facts.Rig.Channels[(int)RigChannel.Plate].StepVolts;
        if (settle.Tolerance.Value >= step) return;
        Refuse("tolerance-below-step", "/settle/toleranceVolts", $"readings are to agree within {settle.Tolerance}", $"the plate channel tells {new Volts(step)} apart", $"Use {new Volts(step)} or more.");
    }

    public void Type()
    {
        if (facts.Ratings is { NotSweptBecause: { } because } ratings)
            Refuse("type-not-swept", "", $"a sweep of type {ratings.TypeName} is asked for", $"this type is not swept: {because}", "Choose another tube, or correct its type.");
        if (request.Tube.Section is not { } section || facts.Ratings is not { NotSweptBecause: null } known || section <= known.Sections.Count) return;
        var has = known.Sections.Count == 0 ? "has one system" : $"has the sections {string.Join(" and ", known.Sections.Select((s, i) => $"{i + 1} ({s})"))}";
        Refuse("section-absent", "", $"section {section} of {request.Tube.Label[..^2]} is asked for", $"type {known.TypeName} {has}", known.Sections.Count == 0 ? $"Leave /{section} out, or correct the type." : "Name one of these.");
    }

    public void Heater()
    {
        if (facts.Ratings is not { NotSweptBecause: null } ratings) return;
        var rated = ratings.Heaters.Max(h => h.Value);
        var heaters = string.Join(" or ", ratings.Heaters);
        var allowed = $"type {ratings.TypeName} has a heater of {heaters}, 10 % either way";
        if (_plan.SecondSource is { Source: SteppedSource.Heater } second)
        {
            // Stepping down is how weak emission is found; stepping up burns the heater out.
            var highest = second.From > second.To ? second.From : second.To;
            if (highest.Value > rated * (1 + HeaterTolerance))
                Refuse("heater-mismatch", "/secondSource", $"the heater is stepped up to {highest}", allowed, $"Step no higher than {new Volts(Math.Round(rated * (1 + HeaterTolerance), 3))}.");
            return;
        }
        if (!ratings.Heaters.Any(h => Math.Abs(_plan.Connection.Heater.Value - h.Value) <= h.Value * HeaterTolerance + 1e-9))
            Refuse("heater-mismatch", "/connection/heaterVolts", $"the heater is to get {_plan.Connection.Heater}", allowed, $"Use {heaters}, or check the type on the tube.");
    }

    public void Power()
    {
        if (facts.Ratings is not { } ratings) return;
        var most = _limits.CathodeCurrent.Value;
        var plate = Dissipation.PlateWatts(_plan.Connection, HighestRailVolts, most);
        if (plate > ratings.PlateDissipation?.Value)
        {
            Refuse("plate-dissipation", "/connection/plateResistorOhms", $"the plate can get {new Watts(plate)} over {_plan.Connection.PlateResistor} from {new Volts(HighestRailVolts)}",
                $"type {ratings.TypeName} bears {ratings.PlateDissipation}{Because(ratings.PlateBecause)}", "Use a larger plate resistor or a lower rail.");
        }
        if (ratings.ScreenDissipation is not { } screenRating) return;
        var screen = ScreenWatts(ratings, _plan.Connection);
        if (screen <= screenRating.Value) return;
        var enough = PreferredValues.From(_plan.Connection.ScreenResistor).FirstOrDefault(r => ScreenWatts(ratings, _plan.Connection with { ScreenResistor = r }) <= screenRating.Value);
        var remedy = enough.Value > 0 ? $"a screen resistor of {enough} or more" : "a larger screen resistor";
        Refuse("screen-dissipation", "/connection/screenResistorOhms", $"the screen can get {new Watts(screen)} over {_plan.Connection.ScreenResistor} from {new Volts(HighestRailVolts)}",
            $"type {ratings.TypeName} bears {screenRating}{Because(ratings.ScreenBecause)}", $"Use {remedy}, a lower rail or less positive drive.");
    }

    private double ScreenWatts(TypeRatings ratings, Connection connection)
    {
        var screen = Dissipation.ScreenWatts(connection, HighestRailVolts, _limits.CathodeCurrent.Value);
        return screen > ratings.ScreenDissipation?.Value && ratings.ExpectedScreenWatts is { } expected
            ? Math.Min(screen, SpreadOfTubes * expected(connection with { PlateRail = new(HighestRailVolts) }, _plan.Stop))
            : screen;
    }

    /// <summary>Why the ceiling is no higher, where the rig says so.</summary>
    public static string Because(RigIdentity rig) => rig.CeilingReason is { } reason ? $", because {reason}" : "";

    // Where a limit is less than the table says, whoever compares the two is to know why.
    private static string Because(string? reason) => reason is null ? "" : $" ({reason})";

    private void Refuse(string code, string path, string asked, string allowed, string remedy) => _reasons.Add(new(code, path, asked, allowed, remedy));

    private static string Seconds(TimeSpan time) => $"{Number(Math.Round(time.TotalSeconds, 1))} s";

    private static string Number(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
