using System.Globalization;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Live;
using SweepRig.Domain.Interlocks;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Where a run comes from, and what befell it.</summary>
public static class RunText
{
    /// <param name="run">As recorded.</param>
    /// <param name="inForce">The calibration that figures are derived with.</param>
    /// <param name="ink">For the names.</param>
    public static IEnumerable<string> Provenance(RunRecord run, RigCalibration inForce, Ink ink)
    {
        var header = run.Header;
        var plan = header.Plan;
        var wiring = plan.Connection;
        var rows = new TextTable([("", false), ("", false)]);
        void Say(string name, string text) => rows.Row(ink.Faint(name), text);
        Say("run", header.Id);
        Say("tube", Tube(header.Tube) + $", socket {header.Socket}");
        Say("state", $"{BenchViews.Word(run.State)}, {Samples(run)}");
        Say("started", Time(header.StartedUtc) + (run.EndedUtc is { } ended ? $", ran {Seconds(ended - header.StartedUtc)}" : ""));
        Say("plan", plan.Name);
        Say("connection", $"{BenchViews.Word(wiring.Kind)}, rail {wiring.PlateRail}, bias {wiring.BiasRail}, heater {wiring.Heater}");
        Say("resistors", $"plate {wiring.PlateResistor}" + (wiring.Kind == ConnectionKind.Pentode ? $", screen {wiring.ScreenResistor}" : "") + $", grid stopper {wiring.GridStopper}");
        Say("drive", $"{plan.Start} to {plan.Stop}, {plan.Points} points, {Direction(plan.Direction)}" + (plan.Repeats > 1 ? $", {plan.Repeats} times" : ""));
        Say("each point", $"{Engineering.Format(plan.DwellMicroseconds * 1e-6, "s")} dwell, {Averages(plan.Averaging)}");
        if (plan.SecondSource is { } second) Say("family", $"{(second.Source == SteppedSource.PlateRail ? "plate rail" : "heater")} {second.From} to {second.To} in {second.Steps} steps");
        Say("permit", header.Permit is { } permit ? $"up to {permit.Ceiling} for {Seconds(permit.Duration)}: {permit.Reason}" : "none");
        Say("calibration", Calibration(header.Calibration));
        if (inForce.Id != header.Calibration.Id) Say("shown with", Calibration(inForce) + Apart(inForce, header.StartedUtc));
        Say("rig", $"{header.Rig.Board} {header.Rig.SerialNumber}, {header.Rig.Firmware}");
        Say("software", $"SweepRig {header.SoftwareVersion}");
        return rows.Lines(default);
    }

    public static IEnumerable<string> Events(RunRecord run)
    {
        foreach (var trip in run.Trips) yield return "Trip: " + Trip(trip);
        foreach (var gap in run.Gaps) yield return $"Gap: pass {gap.Pass}, {gap.Points} points from point {gap.FirstPoint} on are missing: {gap.Reason}";
    }

    /// <summary>Cause, measured, limit and remedy in one line.</summary>
    public static string Trip(Trip trip)
    {
        var advice = TripGuide.For(trip.Cause);
        return Trip(advice.Title, trip.Measured, trip.Limit, advice.LikelyCause, advice.Remedy);
    }

    public static string Trip(string title, string measured, string limit, string likelyCause, string remedy)
    {
        var figures = measured.Length == 0 ? "" : limit.Length == 0 ? $" ({measured})" : $" ({measured}, limit {limit})";
        return $"{title}{figures}. {likelyCause} {remedy}";
    }

    public static string Calibration(RigCalibration calibration)
    {
        if (calibration.Origin is not { } origin) return calibration.IsNominal ? "nominal values, this rig was not calibrated" : calibration.Id;
        var made = $"{calibration.Id}, made {Day(origin.MadeUtc)} with {origin.Meter.Name}";
        return calibration.IsStale ? $"{made}, stale since {Day(origin.ValidUntilUtc)}" : $"{made}, valid until {Day(origin.ValidUntilUtc)}";
    }

    /// <summary>How long before or after the run it was made; nothing for the same day.</summary>
    private static string Apart(RigCalibration calibration, DateTimeOffset startedUtc)
    {
        if (calibration.Origin is not { } origin) return "";
        var days = (int)Math.Round((origin.MadeUtc - startedUtc).TotalDays);
        return days == 0 ? "" : $"; {Math.Abs(days)} {(Math.Abs(days) == 1 ? "day" : "days")} {(days > 0 ? "after" : "before")} the run";
    }

    public static string Day(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    public static string Tube(Tube tube) => $"{tube.Label}, {tube.TypeName}" + (tube.Lot is { } lot ? $", lot {lot}" : "");

    public static string Time(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd HH:mm:ss 'UTC'", CultureInfo.InvariantCulture);

    public static string Seconds(TimeSpan time) => time.TotalMinutes >= 2
        ? $"{Math.Floor(time.TotalMinutes).ToString(CultureInfo.InvariantCulture)} min {time.Seconds} s".Replace(" 0 s", "", StringComparison.Ordinal)
        : $"{time.TotalSeconds.ToString("0.#", CultureInfo.InvariantCulture)} s";

    private static string Samples(RunRecord run)
    {
        var planned = run.Header.Passes.Sum(p => (long)p.Points);
        var missing = run.Gaps.Sum(g => (long)g.Points);
        return $"{run.Samples} samples, {planned} points planned" + (missing > 0 ? $", {missing} missing" : "");
    }

    private static string Direction(SweepDirection direction) => direction switch
    {
        SweepDirection.Up => "up",
        SweepDirection.Down => "down",
        _ => "up and down",
    };

    private static string Averages(Averaging averaging) => averaging switch
    {
        Averaging.Count count => $"{count.Conversions} conversions averaged",
        Averaging.MainsPeriods mains => $"averaged over {mains.Periods} mains {(mains.Periods == 1 ? "period" : "periods")} of {mains.Hertz} Hz",
        _ => throw new InvalidOperationException("SweepRig bug: this kind of averaging has no words."),
    };
}
