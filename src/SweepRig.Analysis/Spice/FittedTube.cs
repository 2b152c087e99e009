using System.Globalization;
using SweepRig.Analysis.Models;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Spice;

/// <summary>The subcircuit of a fitted tube, with where it comes from, what was not determined, and where the fit was seen to hold in its comments.</summary>
public static class FittedTube
{
    /// <param name="fit">Of the runs.</param>
    /// <param name="runs">That were fitted, with the calibration in force; all of one tube.</param>
    /// <param name="name">Of the subcircuit; null for one made from the tube's label.</param>
    /// <returns>Refused when the runs are of several tubes, the name is none, or the fit has no numbers.</returns>
    public static Outcome<SpiceLibrary> Write(TubeModelFit fit, IReadOnlyList<RunHeader> runs, string? name = null)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(runs);
        if (Faults(runs, name) is { Count: > 0 } faults) return Outcome<SpiceLibrary>.Refuse(faults);
        if (fit.Tube is null)
            return Outcome<SpiceLibrary>.Refuse([.. fit.Findings.Select(f => new Refusal(f.Code, "", f.Says.TrimEnd('.'), "without a fit there is nothing to export", f.Remedy))]);
        var first = runs[0];
        var heater = first.Plan.Connection.Heater;
        var tube = first.Tube;
        var provenance = new SpiceProvenance(
            $"Tube {tube.Label}, type {tube.TypeName}{(tube.Lot is { } lot ? $", lot {lot}" : "")}",
            $"fitted to {(runs.Count == 1 ? "run" : "runs")} {string.Join(", ", runs.Select(r => r.Id))} by SweepRig {first.SoftwareVersion}")
        {
            Notes = [.. Notes(fit, runs, heater)],
            Validity = [.. Validity(fit.Range)],
        };
        return Outcome<SpiceLibrary>.Accept(TubeSubcircuit.Write(new TubeModel(fit.Tube, heater), name ?? SpiceName.Of(tube.Label), provenance));
    }

    /// <summary>What speaks against exporting these runs together, before they are fitted.</summary>
    public static IReadOnlyList<Refusal> Faults(IReadOnlyList<RunHeader> runs, string? name)
    {
        ArgumentNullException.ThrowIfNull(runs);
        List<Refusal> faults = [];
        if (runs.Count == 0) faults.Add(new("no-runs", "", "no run", "at least one is needed", "Name the runs of one tube."));
        var labels = runs.Select(r => r.Tube.Label).Distinct().ToList();
        if (labels.Count > 1) faults.Add(new("several-tubes", "", $"runs of {string.Join(" and ", labels)}", "a subcircuit is of one tube", "Name the runs of one of them."));
        if (name is not null && !SpiceName.IsGood(name))
            faults.Add(new("bad-name", "", $"name \"{name}\"", "a letter, then letters, digits and underscores", "Give such a name, or leave it out for one made from the tube's label."));
        else if (name is null && labels.Count == 1 && !labels[0].Any(char.IsAsciiLetterOrDigit))
            faults.Add(new("bad-name", "", $"tube \"{labels[0]}\"", "a name is made from the letters and digits of the label, and it has none", "Give a name for the subcircuit."));
        return faults;
    }

    private static IEnumerable<string> Notes(TubeModelFit fit, IReadOnlyList<RunHeader> runs, Volts heater)
    {
        foreach (var run in runs)
        {
            var wiring = run.Plan.Connection;
            yield return $"Run {run.Id}, {run.StartedUtc.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}, rig {run.Rig.SerialNumber}: {wiring.Kind.ToString().ToLowerInvariant()}, rail {wiring.PlateRail}, "
                + $"plate {wiring.PlateResistor}, calibration {(run.Calibration.IsNominal ? "nominal" : run.Calibration.Id)}{(run.Calibration.IsStale ? " (stale)" : "")}.";
        }
        yield return string.Create(CultureInfo.InvariantCulture, $"Heater {heater}. {fit.Readings} readings fitted, {fit.WildReadings} left out as wild; residuals are {fit.Scale:0.00} times what the readings scatter.");
        if (fit.Status == ModelFitStatus.Doubtful) yield return "The fit is doubtful:";
        foreach (var finding in fit.Findings) yield return finding.Says;
        foreach (var constant in fit.Constants.Where(c => c.IsDetermined && c.Low is not null && c.High is not null))
        {
            yield return string.Create(CultureInfo.InvariantCulture,
                $"{constant.Constant}: {constant.Figure.Value:G4} ({constant.Low:G4} to {constant.High:G4} with 95 %){(constant.Figure.Unit == "1" ? "" : " " + constant.Figure.Unit)}");
        }
        var open = fit.Constants.Where(c => !c.IsDetermined).Select(c => c.Constant.ToString()).ToList();
        if (open.Count > 0) yield return $"Not determined by these runs and set to what is typical: {string.Join(", ", open)}.";
    }

    private static IEnumerable<string> Validity(ValidRange? range)
    {
        if (range is null) yield break;
        yield return $"drive {Volts(range.LowestDrive)} to {Volts(range.HighestDrive)}";
        // Measured rails differ by their noise, which three digits do not show.
        string low = Volts(range.LowestRail), high = Volts(range.HighestRail);
        yield return low == high ? $"plate rail {high}" : $"plate rail {low} to {high}";
        yield return $"plate down to {Volts(range.LowestPlate)}";
        yield return $"cathode current up to {Engineering.Format(range.HighestCathodeAmps, "A", 3)}";
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 3);
}
