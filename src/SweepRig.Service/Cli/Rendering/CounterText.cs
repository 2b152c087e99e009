using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A counter stage out of the tubes of a lot, for a terminal, with the commands that found it.</summary>
public static class CounterText
{
    public static IEnumerable<string> Lines(CounterStage stage, string data, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(stage);
        var values = FormattableString.Invariant($"--plate-resistor {stage.Values.PlateOhms} --upper {stage.Values.UpperOhms} --lower {stage.Values.LowerOhms}");
        var tubes = string.Join(' ', stage.Tubes.Select(t => $"--tube {t.Number}"));
        yield return ink.Strong($"A counter stage out of the {stage.Swept} tubes of {stage.Lot} that conduct: {string.Join(" and ", stage.Tubes.Select(t => t.Number))}, worst margin {V(stage.MarginVolts)}");
        var table = new TextTable(("", false), ("", true));
        foreach (var tube in stage.Tubes) table.Row($"at {tube.Position}", $"{tube.Number} ({tube.Type})");
        table.Row("plate resistors", R(stage.Values.PlateOhms));
        table.Row("upper resistors", R(stage.Values.UpperOhms));
        table.Row("lower resistors", R(stage.Values.LowerOhms));
        table.Row("low and high", $"{V(stage.LowVolts)}, {V(stage.HighVolts)}");
        table.Row("counts at most", Engineering.Format(1 / stage.ShortestPeriodSeconds, "Hz", 3));
        table.Row("trigger falls at least", $"{V(stage.SmallestFallVolts)}, low for {Engineering.Format(stage.FallWidthSeconds, "s", 3)}");
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var remark in stage.Remarks) yield return remark;
        yield return $"search  sweeprig logic search --lot {stage.Lot} --series {DemoScenario.Series} --data {data}";
        yield return $"choose  sweeprig logic choose {stage.Gate} --lot {stage.Lot} {values} --data {data}";
        yield return $"build   sweeprig logic report {stage.Gate} {tubes} {values} --to counter.pdf --data {data}";
    }

    private static string V(double volts) => Engineering.Format(volts, "V", 3);

    private static string R(double ohms) => Engineering.Format(ohms, "Ω", 3);
}
