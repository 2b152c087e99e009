using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Models;

/// <summary>What the runs show before any model is fitted: whether there is anything to fit, and what is missing.</summary>
internal static class RunScreening
{
    /// <summary>Fewest usable points that say anything about a tube's constants.</summary>
    public const int LeastPoints = 16;

    // Part of the rail that the output must move by before a tube counts as answering to its grid.
    private const double LeastSwing = 0.05;

    // Part of the largest current that may be left at the lowest drive of a run that reaches cut-off.
    private const double CutOffShare = 0.02;

    /// <param name="Passes">Usable passes.</param>
    /// <param name="Refusals">Reasons for no fit.</param>
    /// <param name="Doubts">Findings that speak against relying on the numbers.</param>
    /// <param name="Notes">Findings that must be known and speak against nothing.</param>
    public sealed record Screened(List<PassData> Passes, List<FitFinding> Refusals, List<FitFinding> Doubts, List<FitFinding> Notes);

    public static Screened Of(IReadOnlyList<ModelRun> runs)
    {
        Screened screened = new([], [], [], []);
        if (runs.Count == 0) screened.Refusals.Add(new("no-run", "There is no run to fit.", "Choose at least one run of the tube."));
        foreach (var run in runs)
        {
            var passes = run.Curves.Select(c => PassData.Of(run, c)).OfType<PassData>().ToList();
            Missing(run, passes, screened);
            if (passes.Count == 0) continue;
            if (Answers(run, passes, screened) && ConnectionReading.Contradicts(run, passes) is { } wrong) screened.Refusals.Add(wrong);
            screened.Passes.AddRange(passes);
        }
        var points = screened.Passes.Sum(p => p.Count);
        if (runs.Count > 0 && points < LeastPoints)
        {
            screened.Refusals.Add(new(
                "too-few-points", $"There are {points} usable points; a fit needs at least {LeastPoints}.", "Sweep again with 64 points or more from cut-off to 0 V of drive."));
        }
        else if (screened.Passes.Count == 1 && screened.Refusals.Count == 0)
        {
            screened.Notes.Add(new(
                "single-pass", "There is one pass only: scatter is told by neighbouring points, and what changes from pass to pass is not in the uncertainties.",
                "Sweep up and down, twice, where drift matters."));
        }
        return screened;
    }

    private static void Missing(ModelRun run, List<PassData> passes, Screened screened)
    {
        var planned = run.Curves.Sum(c => c.Count);
        var missing = run.Curves.Sum(c => Enumerable.Range(0, c.Count).Count(i => !double.IsFinite(c.Drive[i] + c.Plate[i] + c.Supply[i])));
        var clipped = run.Curves.Sum(c => Enumerable.Range(0, c.Count).Count(i => double.IsFinite(c.Plate[i]) && ReadingScatter.IsClipped(c, i)));
        if (planned == 0 || missing + clipped == 0 && passes.Count > 0) return;
        if (missing > 0)
        {
            (missing > planned / 4 ? screened.Doubts : screened.Notes).Add(new(
                "gaps", $"{run.Name}: {missing} of {planned} points have no reading; nothing is taken to be there.", "Measure the run again where the gaps lie on the slope of the curve."));
        }
        if (clipped > 0)
        {
            (clipped > planned / 4 ? screened.Doubts : screened.Notes).Add(new(
                "clipped", $"{run.Name}: {clipped} of {planned} points had a channel at the end of its converter's range and were left out.",
                "Lower the rail or the drive until no channel is at its end."));
        }
    }

    /// <summary>True when the output moves with the drive as a tube's does.</summary>
    private static bool Answers(ModelRun run, List<PassData> passes, Screened screened)
    {
        double largest = 0, swing = 0, left = double.PositiveInfinity, lowestDrive = double.PositiveInfinity;
        foreach (var pass in passes)
        {
            var plate = pass.Channels[0].Volts;
            for (var i = 0; i < pass.Count; i++)
            {
                var part = (pass.Rail[i] - plate[i]) / pass.Rail[i];
                largest = Math.Max(largest, part);
                if (pass.Drive[i] < lowestDrive) (lowestDrive, left) = (pass.Drive[i], part);
            }
            swing = Math.Max(swing, (plate.Max() - plate.Min()) / pass.Rail.Max());
        }
        if (largest < LeastSwing)
        {
            screened.Refusals.Add(new(
                "does-not-conduct", $"{run.Name}: the plate stays within {Percent(largest)} of the rail at every drive: no current flows that would show.",
                "Check heater, socket and wiring; raise the drive towards 0 V; a tube that stays so has no emission."));
            return false;
        }
        if (swing < LeastSwing)
        {
            screened.Refusals.Add(new(
                "no-answer", $"{run.Name}: current flows, but the output moves by {Percent(swing)} of the rail only while the drive goes through its range.",
                "Check the grid's wiring and its stopper; look for a short between electrodes."));
            return false;
        }
        if (left > CutOffShare * largest)
        {
            screened.Doubts.Add(new(
                "never-cuts-off",
                $"{run.Name}: at the lowest drive, {Engineering.Format(lowestDrive, "V", 3)}, {Percent(left / largest)} of the largest current still flows: cut-off was not reached.",
                "Begin the sweep at a lower drive; if the current does not fall, look for leakage or a grid without contact."));
        }
        return true;
    }

    private static string Percent(double part) => FormattableString.Invariant($"{100 * part:0.##} %");
}

/// <summary>Whether the readings of the screen belong to the connection that was recorded.</summary>
internal static class ConnectionReading
{
    // In triode connection screen and plate are one node; in pentode connection the screen stays far above a plate that is pulled down.
    private const double Same = 0.02, Apart = 0.2;

    public static FitFinding? Contradicts(ModelRun run, List<PassData> passes)
    {
        List<double> shares = [];
        foreach (var pass in passes)
            for (var i = 0; i < pass.Count; i++)
            {
                var screen = pass.Curve.Screen[pass.Points[i]];
                var drop = pass.Rail[i] - pass.Channels[0].Volts[i];
                if (double.IsFinite(screen) && drop > 0.25 * pass.Rail[i]) shares.Add((screen - pass.Channels[0].Volts[i]) / drop);
            }
        if (shares.Count < 4) return null;
        shares.Sort();
        var middle = shares[shares.Count / 2];
        var recorded = run.Connection.Kind;
        return recorded == ConnectionKind.Triode && middle > Apart
            ? Wrong(run, recorded, "the screen stays near the rail while the plate is pulled down, as in pentode connection")
            : recorded == ConnectionKind.Pentode && Math.Abs(middle) < Same && run.Connection.PlateResistor.Value > 2 * run.Connection.ScreenResistor.Value
                ? Wrong(run, recorded, "screen and plate move as one, as in triode connection")
                : null;
    }

    public static FitFinding Wrong(ModelRun run, ConnectionKind recorded, string why) => new(
        "wrong-connection",
        $"{run.Name} is recorded in {Name(recorded)} connection, but {why}.",
        $"Record the run as {Name(Other(recorded))}, or rewire the socket and sweep again.");

    public static ConnectionKind Other(ConnectionKind kind) => kind == ConnectionKind.Triode ? ConnectionKind.Pentode : ConnectionKind.Triode;

    public static string Name(ConnectionKind kind) => kind == ConnectionKind.Triode ? "triode" : "pentode";
}
