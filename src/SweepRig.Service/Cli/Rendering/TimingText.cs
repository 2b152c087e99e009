using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Timing;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>What time and supplies ask of a sheet of gates, for a terminal and for programs.</summary>
public static class TimingText
{
    public static IEnumerable<string> Lines(string name, GateNetwork network, TimingReport report, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(report);
        yield return ink.Strong($"{name}: low {V(report.Levels.Low)}, high {V(report.Levels.High)}, threshold {V(report.Levels.Middle)}");
        if (report.Delays.Count > 0)
        {
            yield return "";
            var delays = new TextTable(("from", false), ("to", false), ("delay", true), ("while", false));
            foreach (var path in report.Delays)
                foreach (var d in path.Delays) delays.Row($"{path.Input} {Way(d.CauseRises)}", $"{path.Output} {Way(d.EffectRises)}", S(d.Seconds), Others(network, path));
            foreach (var line in delays.Lines(ink)) yield return line;
        }
        foreach (var trigger in report.Triggers)
        {
            yield return "";
            if (trigger.Period is { } period) yield return $"{trigger.Pattern.Input}: shortest period {S(period.Works)}{(period.Fails is { } f ? $" (wrong at {S(f)})" : " (nothing shorter was tried)")}, {Engineering.Format(1 / period.Works, "Hz", 3)} at most";
            if (trigger.Fall is { } fall) yield return $"{trigger.Pattern.Input}: smallest fall {V(fall.Works)} (wrong at {V(fall.Fails ?? 0)}), low for {S(trigger.WidthSeconds)}";
        }
        if (report.Needs is { } needs)
        {
            yield return "";
            var table = new TextTable(("", false), ("at most", true));
            foreach (var input in needs.Inputs) table.Row($"into {input.Input}, low and high", $"{A(input.LowAmps)}, {A(input.HighAmps)}");
            table.Row("from the positive rail", A(needs.PlateAmps));
            table.Row("into the bias rail", A(needs.BiasAmps));
            table.Row("from both rails", $"{W(needs.MostWatts)}, {W(needs.MeanWatts)} in the mean");
            table.Row("heaters", $"{A(needs.HeaterAmps)}, {W(needs.HeaterWatts)}");
            foreach (var line in table.Lines(ink)) yield return line;
            if (needs.HeatersUnknown.Count > 0) yield return $"Without the heaters of {string.Join(", ", needs.HeatersUnknown)}, whose current is not known.";
        }
        foreach (var refusal in report.Refused) yield return refusal.ToString();
    }

    public static object Json(string name, GateNetwork network, TimingReport report)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(report);
        return new
        {
            name,
            lowVolts = report.Levels.Low,
            highVolts = report.Levels.High,
            thresholdVolts = report.Levels.Middle,
            delays = report.Delays.SelectMany(p => p.Delays.Select(d => new { input = p.Input, inputRises = d.CauseRises, output = p.Output, outputRises = d.EffectRises, seconds = d.Seconds, others = Others(network, p) })),
            triggers = report.Triggers.Select(t => new
            {
                input = t.Pattern.Input, shortestPeriodSeconds = t.Period?.Works, wrongAtSeconds = t.Period?.Fails, smallestFallVolts = t.Fall?.Works, wrongAtVolts = t.Fall?.Fails, widthSeconds = t.WidthSeconds,
            }),
            needs = report.Needs is not { } n ? null : (object)new
            {
                inputs = n.Inputs.Select(i => new { input = i.Input, lowAmperes = i.LowAmps, highAmperes = i.HighAmps }),
                plateAmperes = n.PlateAmps, biasAmperes = n.BiasAmps, mostWatts = n.MostWatts, meanWatts = n.MeanWatts, heaterAmperes = n.HeaterAmps, heaterWatts = n.HeaterWatts, heatersUnknown = n.HeatersUnknown,
            },
            missing = report.Refused.Select(r => r.ToString()),
        };
    }

    private static string Others(GateNetwork network, PathDelay path) =>
        string.Join(", ", network.Inputs.Select((name, at) => (name, High: path.Others[at])).Where(o => o.name != path.Input).Select(o => $"{o.name} {(o.High ? "high" : "low")}"));

    private static string Way(bool rises) => rises ? "up" : "down";

    private static string V(double volts) => Engineering.Format(volts, "V", 4);

    private static string S(double seconds) => Engineering.Format(seconds, "s", 3);

    private static string A(double amps) => Engineering.Format(amps, "A", 3);

    private static string W(double watts) => Engineering.Format(watts, "W", 3);
}
