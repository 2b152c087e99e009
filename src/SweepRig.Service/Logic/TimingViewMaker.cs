using SweepRig.Logic.Gates;
using SweepRig.Logic.Timing;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>Delays, triggers and needs of a circuit, as REST and command line give them.</summary>
public static class TimingViewMaker
{
    public static TimingView Of(string name, GateNetwork network, TimingReport report, IEnumerable<string> remarks)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(report);
        return new(
            name, report.Levels.Low, report.Levels.High, report.Levels.Middle,
            [.. report.Delays.SelectMany(p => p.Delays.Select(d => new DelayView(p.Input, d.CauseRises, p.Output, d.EffectRises, d.Seconds, Others(network, p))))],
            [.. report.Triggers.Select(t => new TriggerView(t.Pattern.Input, t.Period?.Works, t.Period?.Fails, t.Fall?.Works, t.Fall?.Fails, t.WidthSeconds))],
            report.Needs is { } n
                ? new([.. n.Inputs.Select(i => new InputNeedView(i.Input, i.LowAmps, i.HighAmps))], n.PlateAmps, n.BiasAmps, n.MostWatts, n.MeanWatts, n.HeaterAmps, n.HeaterWatts, [.. n.HeatersUnknown])
                : null,
            [.. report.Waves.Select(w => Wave(network, report, w))], [.. report.Refused.Select(r => r.ToString())], [.. remarks]);
    }

    private static WaveView Wave(GateNetwork network, TimingReport report, TimingWave wave)
    {
        var path = wave.Path is { } shown ? report.Delays.First(p => p.Delays.Contains(shown)) : null;
        return new(
            path is null ? null : new(path.Input, wave.Path!.CauseRises, path.Output, wave.Path.EffectRises, wave.Path.Seconds, Others(network, path)),
            [.. wave.Seconds], [.. wave.Signals.Select((s, n) => new WaveSignalView(s, [.. wave.Volts[n]]))]);
    }

    private static string Others(GateNetwork network, PathDelay path) =>
        string.Join(", ", network.Inputs.Select((name, at) => (name, High: path.Others[at])).Where(o => o.name != path.Input).Select(o => $"{o.name} {(o.High ? "high" : "low")}"));
}
