using Spectre.Console;
using Spectre.Console.Rendering;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Sweeping;

/// <summary>A bar with what it does, how far it is, the time left and the newest reading. Gone when the sweep has ended.</summary>
public sealed class TerminalDisplay(CliTerminal terminal) : ISweepDisplay
{
    private ProgressTask? _task;
    private volatile string _timeLeft = "";

    public static ISweepDisplay For(CliTerminal terminal) => terminal.ErrorIsTerminal ? new TerminalDisplay(terminal) : new NoDisplay();

    public Task<T> DuringAsync<T>(string what, Func<Task<T>> work) => terminal.LiveConsole().Progress()
        .AutoClear(true)
        .HideCompleted(true)
        .Columns(
            new TaskDescriptionColumn { Alignment = Justify.Left },
            new ProgressBarColumn { Width = Math.Clamp(terminal.LiveWidth - 62, 10, 30) },
            new PercentageColumn(),
            new TimeLeftColumn(this))
        .StartAsync(async context =>
        {
            _task = context.AddTask(Markup.Escape(what), maxValue: 1);
            return await work();
        });

    public void Show(ProgressView progress, Reading? newest)
    {
        if (_task is not { } task) return;
        task.Description = Markup.Escape(Describe(progress, newest));
        task.IsIndeterminate = progress.Phase == "warming";
        task.Value = progress.PointsPlanned == 0 ? 0 : (double)progress.PointsDone / progress.PointsPlanned;
        _timeLeft = progress.SecondsLeft >= 0.1 ? $"{progress.SecondsLeft:0.0} s left" : "";
    }

    private static string Describe(ProgressView progress, Reading? newest)
    {
        var phase = progress.Phase switch
        {
            "warming" => "warming the heater",
            "finishing" => "finishing",
            _ => $"pass {progress.Pass + 1}/{progress.Passes}",
        };
        if (progress.Adaptive is { SwitchingVolts: { } at, UncertaintyVolts: { } u })
            return $"{progress.PointsDone} points  switching point {at:0.000} V, uncertain by {Engineering.Format(u, "V", 2)}, wanted {Engineering.Format(progress.Adaptive.WantedVolts, "V", 2)}";
        return newest is { } r ? $"{phase}  drive {r.Drive,6:0.00} V  output {r.Plate,5:0.00} V" : phase;
    }

    private sealed class TimeLeftColumn(TerminalDisplay display) : ProgressColumn
    {
        public override IRenderable Render(RenderOptions options, ProgressTask task, TimeSpan deltaTime) => new Text(display._timeLeft);
    }
}
