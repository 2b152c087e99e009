using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>What time and supplies ask of a circuit, for a terminal.</summary>
public static class TimingText
{
    public static IEnumerable<string> Lines(TimingView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong($"{view.Name}: low {V(view.LowVolts)}, high {V(view.HighVolts)}, threshold {V(view.ThresholdVolts)}");
        if (view.Delays.Length > 0)
        {
            yield return "";
            var delays = new TextTable(("from", false), ("to", false), ("delay", true), ("while", false));
            foreach (var d in view.Delays) delays.Row($"{d.Input} {Way(d.InputRises)}", $"{d.Output} {Way(d.OutputRises)}", S(d.Seconds), d.Others);
            foreach (var line in delays.Lines(ink)) yield return line;
        }
        foreach (var trigger in view.Triggers)
        {
            yield return "";
            if (trigger.ShortestPeriodSeconds is { } period) yield return $"{trigger.Input}: shortest period {S(period)}{(trigger.WrongAtSeconds is { } f ? $" (wrong at {S(f)})" : " (nothing shorter was tried)")}, {Engineering.Format(1 / period, "Hz", 3)} at most";
            if (trigger.SmallestFallVolts is { } fall) yield return $"{trigger.Input}: smallest fall {V(fall)} (wrong at {V(trigger.WrongAtVolts ?? 0)}), low for {S(trigger.WidthSeconds)}";
        }
        if (view.Needs is { } needs)
        {
            yield return "";
            var table = new TextTable(("", false), ("at most", true));
            foreach (var input in needs.Inputs) table.Row($"into {input.Input}, low and high", $"{A(input.LowAmperes)}, {A(input.HighAmperes)}");
            table.Row("from the positive rail", A(needs.PlateAmperes));
            table.Row("into the bias rail", A(needs.BiasAmperes));
            table.Row("from both rails", $"{W(needs.MostWatts)}, {W(needs.MeanWatts)} in the mean");
            table.Row("heaters", $"{A(needs.HeaterAmperes)}, {W(needs.HeaterWatts)}");
            foreach (var line in table.Lines(ink)) yield return line;
            if (needs.HeatersUnknown.Length > 0) yield return $"Without the heaters of {string.Join(", ", needs.HeatersUnknown)}, whose current is not known.";
        }
        foreach (var missing in view.Missing) yield return missing;
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string Way(bool rises) => rises ? "up" : "down";

    private static string V(double volts) => Engineering.Format(volts, "V", 4);

    private static string S(double seconds) => Engineering.Format(seconds, "s", 3);

    private static string A(double amps) => Engineering.Format(amps, "A", 3);

    private static string W(double watts) => Engineering.Format(watts, "W", 3);
}
