using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>What a meter is to show at a build, for a terminal.</summary>
public static class TestVoltagesText
{
    public static IEnumerable<string> Lines(TestVoltagesView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong($"{view.Of}: what a meter of {Engineering.Format(view.MeterOhms, "Ω", 3)} shows against ground; 95 of 100 sound builds are within");
        foreach (var row in view.Rows)
        {
            yield return "";
            yield return row.Set.Length == 0 ? row.Name : $"{row.Name}: set {string.Join(", ", row.Set.Select(s => $"{s.Input} to {V(s.Volts, 3)} V"))}";
            var table = new TextTable(("node", false), ("V", true), ("within", true));
            foreach (var node in row.Nodes)
            {
                var decimals = TestVoltages.Decimals(node.Tolerance);
                table.Row(node.Node, V(node.Volts, decimals), V(node.Tolerance, decimals));
            }
            foreach (var line in table.Lines(ink)) yield return line;
        }
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string V(double volts, int decimals) => volts.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
}
