using SweepRig.Analysis;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>What an exploration reports.</summary>
internal static class ExplorationFindings
{
    /// <summary>Thermal voltage of an oxide cathode at 1050 K, V: kT/e.</summary>
    internal const double ThermalVolts = 0.0905;

    public static StudyFindings Of(Exploration e)
    {
        List<StudyFigure> figures = [Recommended(e)];
        var good = Good(e);
        if (good.Count > 0)
        {
            var at = good[^1];
            figures.Add(new("exploration.grid-current", $"grid current at {StudyPlans.Volts(at.Ceiling)}", at.Burden.GridAmps));
            figures.Add(new("exploration.lowest-output", $"lowest output up to {StudyPlans.Volts(at.Ceiling)}", at.Levels.LowestOutput));
            figures.Add(new("exploration.fold-back", $"rise of the output again up to {StudyPlans.Volts(at.Ceiling)}", at.Levels.FoldBackDepth));
            figures.Add(new("exploration.grid-power", $"dissipation of the grid at {StudyPlans.Volts(at.Ceiling)}", at.Burden.GridWatts));
            figures.Add(new("exploration.plate-power", "largest dissipation of the plate", at.Burden.PlateWatts));
            figures.Add(new("exploration.screen-power", "largest dissipation of the screen", at.Burden.ScreenWatts));
        }
        if (e.Steps.Count > 0)
        {
            var last = e.Steps[^1];
            figures.Add(new("exploration.charge", "charge into the grid, all sweeps together", Figure.Of(last.CoulombsSoFar, "C", e.Steps.Sum(s => s.Burden.GridCoulombs.Uncertainty ?? 0))));
            if (last.After is { } after) figures.Add(new("exploration.shift", $"shift of the grid after {StudyPlans.Volts(last.Ceiling)}", after.Shift));
        }
        if (e.Baseline is { } baseline)
        {
            figures.Add(new("exploration.smallest-shift", "least shift of the grid that counts as not recovered", Figure.Of(baseline.SmallestShift, "V", null)));
            figures.Add(new("exploration.smallest-loss", "loss of emission that makes such a shift", Figure.Of(100 * (1 - Math.Exp(-baseline.SmallestShift / ThermalVolts)), "%", null, "by Richardson's law at 1050 K and a constant emission constant")));
        }
        return new(StudyKind.Exploration, e.End, e.Because, figures, Series(e), Notes(e));
    }

    /// <summary>Ceilings at which all limits held and after which the tube had recovered.</summary>
    private static List<ExplorationStep> Good(Exploration e) =>
        [.. e.Steps.Where((s, i) => s.After is { Repeats: true } && !(e.End == StudyEnd.Limit && i == e.Steps.Count - 1 && ExplorationJudge.Broken(e) is not null))];

    private static StudyFigure Recommended(Exploration e)
    {
        const string word = "exploration.recommended-drive", meaning = "highest drive recommended";
        var good = Good(e);
        if (e.End is StudyEnd.Unsteady or StudyEnd.Dead or StudyEnd.Failed or StudyEnd.Tripped or StudyEnd.UnderWay && good.Count == 0)
            return new(word, meaning, Figure.None("V", e.End == StudyEnd.UnderWay ? "it is under way" : e.Because));
        if (good.Count == 0) return new(word, meaning, Figure.None("V", $"none above 0 V: {e.Because}"));
        var drive = good[^1].Ceiling;
        var lowest = good[^1].Levels.DriveAtMinimum;
        // Beyond its lowest output a gate only gets worse.
        return e.End == StudyEnd.FoldBack && lowest.Value is { } at && at < drive
            ? new(word, meaning, lowest)
            : new(word, meaning, Study.DriveOf(e.LastHeader!, drive));
    }

    private static List<StudySeries> Series(Exploration e)
    {
        if (e.Steps.Count == 0) return [];
        double[] x = [.. e.Steps.Select(s => s.Ceiling)];
        StudySeries Column(string word, string meaning, string unit, Func<ExplorationStep, Figure?> of) =>
            new(word, "highest drive", "V", meaning, unit, x, [.. e.Steps.Select(s => of(s)?.Value ?? double.NaN)], [.. e.Steps.Select(s => of(s)?.Uncertainty ?? double.NaN)]);
        return
        [
            Column("grid-current", "grid current", "A", s => s.Burden.GridAmps),
            Column("output", "output there", "V", s => s.OutputAtEnd),
            Column("lowest-output", "lowest output", "V", s => s.Levels.LowestOutput),
            Column("shift", "shift afterwards", "V", s => s.After?.Shift),
        ];
    }

    private static List<string> Notes(Exploration e)
    {
        var s = e.Setup;
        return
        [
            FormattableString.Invariant($"Ceilings: {string.Join(", ", s.Ceilings.Select(c => c.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture)))} V. After each the tube rests for {s.Rest.TotalSeconds:0.#} s and is swept below 0 V."),
            FormattableString.Invariant($"\"Did not recover\" is said of at most {100 * s.FalseAlarms:0.##} % of explorations of a tube that does not change: {100 * e.FalseAlarmsOfOne:0.####} % of each check, half for shift and scale together (chi-squared), half for what they leave over (Fisher's F)."),
            $"Limits: grid current {s.Limits.GridCurrent}, grid {s.Limits.GridDissipation}, plate {s.Limits.PlateDissipation?.ToString() ?? "not known"}, screen {s.Limits.ScreenDissipation?.ToString() ?? "not known"}, charge into the grid {Domain.Quantities.Engineering.Format(s.Limits.GridCoulombs, "C", 3)}. A limit counts as passed where value and expanded uncertainty together are above it. Receiving tubes have no rating for their grid; that limit is illustrative.",
            "What minutes of positive drive do is not what months do: a tube that is to be driven so for good is better swept again after weeks.",
        ];
    }
}
