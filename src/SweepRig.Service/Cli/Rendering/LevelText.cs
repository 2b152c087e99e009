using System.Globalization;
using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>What several passes or runs tell together, and budgets, for people.</summary>
public static class LevelText
{
    public static IEnumerable<string> OfSeveral(IEnumerable<RunLevelsView> runs, IEnumerable<SmallSignalLevels> together)
    {
        foreach (var run in runs)
        {
            Figure[] repeats = [run.Repeatability.Output, run.Repeatability.SwitchingDrive, run.Repeatability.LowestOutput];
            // One reason for all is said once.
            yield return repeats.All(r => r.Value is null && r.AbsentBecause == repeats[0].AbsentBecause)
                ? $"Repeats: {repeats[0].AbsentBecause}."
                : $"Repeats: output {Said(run.Repeatability.Output)}; switching drive {Said(run.Repeatability.SwitchingDrive)}; lowest output {Said(run.Repeatability.LowestOutput)}.";
        }
        foreach (var alike in together.GroupBy(at => at.Transconductance.AbsentBecause ?? at.GridVolts.ToString(CultureInfo.InvariantCulture)))
        {
            var at = alike.First();
            var where = $"At {string.Join(" and ", alike.Select(a => Engineering.Format(a.GridVolts, "V")))} of grid";
            yield return at.Transconductance.Value is null
                ? $"{where}: transconductance, plate resistance and amplification factor do not exist here: {at.Transconductance.AbsentBecause}."
                : $"{where} and {Said(at.PlateVolts)} of plate: gm {Said(at.Transconductance)}, rp {Said(at.PlateResistance)}, mu {Said(at.Mu)}.";
        }
    }

    /// <summary>A line a source of error: its standard uncertainty, how the level follows it, and what that makes.</summary>
    public static IEnumerable<string> Budgets(string heading, RunLevelsView levels, Ink ink)
    {
        foreach (var curve in levels.Curves)
        {
            foreach (var (name, pick) in LevelsTable.Rows(levels, all: true))
            {
                var figure = pick(curve);
                if (figure.Budget is not { Count: > 0 } budget || figure.Value is null) continue;
                yield return "";
                yield return ink.Strong($"{heading} {curve.Pass.Direction}, {name}: {Said(figure)}".Trim());
                var table = new TextTable(("source", false), ("u", true), ("", false), ("sensitivity", true), ("part", true), ("", false), ("distribution", false));
                foreach (var line in budget)
                {
                    table.Row(
                        line.Name, Short(line.StandardUncertainty), line.Unit, Short(line.Sensitivity), Short(Math.Abs(line.Part)), figure.Unit == "1" ? "" : figure.Unit,
                        line.Shape.ToString().ToLowerInvariant());
                }
                table.Row("combined, k = " + figure.CoverageFactor!.Value.ToString("0.00", CultureInfo.InvariantCulture), "", "", "", Short(figure.Uncertainty!.Value), figure.Unit == "1" ? "" : figure.Unit, "");
                foreach (var line in table.Lines(ink)) yield return line;
            }
        }
    }

    private static string Said(Figure figure) => figure.Value is null ? $"none ({figure.AbsentBecause})" : FigureText.WithUnit(figure);

    private static string Short(double value) => value.ToString("G3", CultureInfo.InvariantCulture);
}
