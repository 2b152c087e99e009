using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A margin map for a terminal: the plate rail across, the other supply up, a dot where it does not work.</summary>
public static class MapText
{
    private const int Across = 13;

    public static IEnumerable<string> Lines(MapView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong($"{view.Gate}: margin in volts by plate rail (across) and {(view.Against == "bias" ? "bias rail" : "supply of the screens")}; a dot below {N(view.LimitVolts)} V");
        // As many columns as a terminal holds; all stand in --json.
        var every = 1 + (view.PlateVolts.Length - 1) / Across;
        int[] columns = [.. Enumerable.Range(0, view.PlateVolts.Length).Where(n => n % every == 0)];
        var table = new TextTable([("V", true), .. columns.Select(c => (N(view.PlateVolts[c]), true))]);
        for (var row = view.OtherVolts.Length - 1; row >= 0; row--)
            table.Row([N(view.OtherVolts[row]), .. columns.Select(c => view.MarginVolts[row][c] is var margin && margin < view.LimitVolts ? "." : margin.ToString("0.00", CultureInfo.InvariantCulture))]);
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var said in view.Says) yield return said;
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string N(double volts) => volts.ToString("0.##", CultureInfo.InvariantCulture);
}
