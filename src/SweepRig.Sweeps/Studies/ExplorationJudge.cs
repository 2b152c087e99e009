using SweepRig.Analysis;
using SweepRig.Domain.Quantities;

namespace SweepRig.Sweeps.Studies;

/// <summary>The rules by which an exploration stops, with their words.</summary>
internal static class ExplorationJudge
{
    private const string Recovered = "the tube recovered";

    private sealed record Held(string Name, string Unit, double Most, Func<ExplorationStep, Figure> Of);

    /// <summary>A limit that the newest step has passed.</summary>
    public static string? Broken(Exploration exploration)
    {
        var step = exploration.Steps[^1];
        foreach (var limit in All(exploration.Setup.Limits))
        {
            // What it may be, not what it likely is.
            if (limit.Of(step) is { Value: { } value } figure && value + Reach(figure) > limit.Most)
                return $"at {StudyPlans.Volts(step.Ceiling)} of drive the {limit.Name} was {Say(value, limit.Unit)}, give or take {Say(Reach(figure), limit.Unit)}, and the limit is {Say(limit.Most, limit.Unit)}; {Recovered}";
        }
        return null;
    }

    /// <summary>A limit that the next step would pass, if what was seen at the last two ceilings goes on in a straight line.</summary>
    public static string? NextWouldBreak(Exploration exploration)
    {
        var steps = exploration.Steps;
        if (steps.Count < 2) return null;
        var (before, last, next) = (steps[^2], steps[^1], exploration.Setup.Ceilings[steps.Count]);
        foreach (var limit in All(exploration.Setup.Limits))
        {
            if (limit.Of(last) is not { Value: { } now } figure || limit.Of(before).Value is not { } then) continue;
            var ahead = now + Math.Max(0, now - then) * (next - last.Ceiling) / (last.Ceiling - before.Ceiling);
            if (ahead + Reach(figure) > limit.Most)
                return $"at {StudyPlans.Volts(next)} of drive the {limit.Name} would be about {Say(ahead, limit.Unit)}, and the limit is {Say(limit.Most, limit.Unit)}; at {StudyPlans.Volts(last.Ceiling)} it was {Say(now, limit.Unit)}, and {Recovered}";
        }
        return null;
    }

    public static string? FoldBack(Exploration exploration)
    {
        var steps = exploration.Steps;
        if (steps.Count < Exploration.FoldBackSteps || !steps.TakeLast(Exploration.FoldBackSteps).All(s => s.FoldsBack)) return null;
        var levels = steps[^1].Levels;
        var (depth, onset) = (levels.FoldBackDepth, levels.DriveAtMinimum);
        return $"the output folds back: from its lowest at {StudyPlans.Volts(onset.Value!.Value)} of drive it rises again by {Say(depth.Value!.Value, "V")} up to {StudyPlans.Volts(steps[^1].Ceiling)}, {Significance(depth):0} times its standard uncertainty, at {Exploration.FoldBackSteps} ceilings in a row; more drive makes it worse";
    }

    /// <summary>How many standard uncertainties a figure is away from nothing.</summary>
    public static double Significance(Figure figure) => figure.Uncertainty is > 0 and var u ? figure.Value!.Value / u : double.PositiveInfinity;

    public static string NotRecovered(Exploration exploration)
    {
        var step = exploration.Steps[^1];
        var first = step.After!;
        var seen = $"after {StudyPlans.Volts(step.Ceiling)} of drive the reference sweep was not what it was before: the grid stands {Say(Math.Abs(first.Shift.Value!.Value), "V")} {(first.Shift.Value < 0 ? "lower" : "higher")} and the current is {first.Scale.Value:+0.##;-0.##} % off, which an unchanged tube shows in {Chance(Math.Min(first.Chance, first.ShapeChance))} of checks";
        var later = exploration.Afterwards[^1];
        return later.Repeats
            ? $"{seen}; it came back by reference {exploration.Afterwards.Count} of {Exploration.FollowUps}, so that the harm passed"
            : $"{seen}; after {Exploration.FollowUps} longer rests it had not come back";
    }

    private static string Chance(double chance) => chance < 1e-6 ? "fewer than one in a million" : FormattableString.Invariant($"{100 * chance:0.####} %");

    private static double Reach(Figure figure) => figure.ExpandedUncertainty ?? 0;

    private static string Say(double value, string unit) => Engineering.Format(value, unit, 3);

    private static IEnumerable<Held> All(ExplorationLimits limits)
    {
        yield return new("grid current", "A", limits.GridCurrent.Value, s => s.Burden.GridAmps);
        yield return new("dissipation of the grid", "W", limits.GridDissipation.Value, s => s.Burden.GridWatts);
        if (limits.PlateDissipation is { } plate) yield return new("dissipation of the plate", "W", plate.Value, s => s.Burden.PlateWatts);
        if (limits.ScreenDissipation is { } screen) yield return new("dissipation of the screen", "W", screen.Value, s => s.Burden.ScreenWatts);
        yield return new("charge into the grid so far", "C", limits.GridCoulombs, s => Figure.Of(s.CoulombsSoFar, "C", null));
    }
}
