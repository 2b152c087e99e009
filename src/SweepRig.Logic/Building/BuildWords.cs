using SweepRig.Domain.Quantities;

namespace SweepRig.Logic.Building;

/// <summary>Says what readings mean, a sentence each.</summary>
internal static class BuildWords
{
    public static IReadOnlyList<string> Say(bool isSound, bool isExplained, IReadOnlyList<BuildExplanation> explanations, IReadOnlyList<NextReading> next, int readings)
    {
        var (best, others) = (explanations[0], explanations.Skip(1).Where(e => !e.Fault.IsNone).ToList());
        if (isSound)
        {
            var hidden = explanations.Count(e => !e.Fault.IsNone);
            return [$"All {readings} readings are within their tolerances: nothing speaks against the build as drawn.", .. hidden == 0 ? [] : (string[])[$"They could not show {hidden} of the faults looked for, such as: {explanations.First(e => !e.Fault.IsNone).Fault.Says}."]];
        }
        if (!isExplained)
        {
            return
            [
                $"No single fault explains all {readings} readings. The nearest: {best.Fault.Says}; but at {best.Worst.Reading.Node} with {best.Worst.Reading.Row} it would read {Volts(best.Worst.Expected)}, and {Volts(best.Worst.Reading.Volts)} was read.",
                "Read that again; look whether the inputs were set as the row says; then look for two faults, stage by stage from the inputs.",
            ];
        }
        List<string> says = [$"{Capital(best.Fault.Says)}: that explains all {readings} readings.", best.Fault.Look];
        if (others.Count > 0) says.Add($"The readings do not tell it from {others.Count} other{(others.Count == 1 ? "" : "s")}: {string.Join("; ", others.Take(5).Select(o => o.Fault.Says))}{(others.Count > 5 ? "; and more" : "")}.");
        foreach (var reading in next)
            says.Add($"Read {reading.Node} with {reading.Row} (meter {Engineering.Format(reading.MeterOhms, "Ω", 3)}): {string.Join("; ", reading.Expected.Select(e => $"{Volts(e.Expected)} if {e.Fault.Says}"))}.");
        if (next.Count == 0 && others.Count > 0) says.Add($"No voltage tells them apart. {string.Join(' ', others.Select(o => o.Fault.Look).Where(l => l != best.Fault.Look).Distinct().Take(3))}".Trim());
        return [.. says.Where(s => s.Length > 0)];
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 3);

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
