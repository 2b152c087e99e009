using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Candidate sweeps for people: what each is and what it would bring.</summary>
public static class NextSweepText
{
    // More is no answer any more; the rest is in the JSON.
    private const int Rows = 10;

    public static IEnumerable<string> Lines(NextSweepView proposed, Ink ink)
    {
        yield return proposed.Says;
        if (proposed.FitStatus == "doubtful") yield return $"The fit behind it is doubtful, so take the order for a hint. {proposed.FitSays}";
        yield return "";
        var table = new TextTable(("", true), ("connection", false), ("rail", true), ("plate resistor", true), ("heater", true), ("drive", true), ("points", true), ("permit", false), ("expected", true));
        for (var n = 0; n < Math.Min(Rows, proposed.Candidates.Length); n++)
        {
            var c = proposed.Candidates[n];
            table.Row(
                (n + 1).ToString(CultureInfo.InvariantCulture), c.Connection, Engineering.Format(c.PlateRailVolts, "V", 3), Engineering.Format(c.PlateResistorOhms, "Ω", 3), Engineering.Format(c.HeaterVolts, "V", 3),
                $"{Engineering.Format(c.FromDriveVolts, "V", 3)} to {Engineering.Format(c.ToDriveVolts, "V", 3)}", c.Points.ToString(CultureInfo.InvariantCulture), c.NeedsPermit ? "needed" : "",
                NextSweeps.Amount(c.Uncertainty, proposed.Unit));
        }
        foreach (var line in table.Lines(ink)) yield return line;
        yield return ink.Faint($"Expected: standard uncertainty of {proposed.Title} after the sweep; now {NextSweeps.Amount(proposed.Now, proposed.Unit)}."
            + (proposed.Candidates.Length > Rows ? $" {proposed.Candidates.Length - Rows} more, none better, with --json." : ""));
    }
}
