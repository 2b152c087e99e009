using System.Diagnostics;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Sweeping;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>The scenario, run and told.</summary>
public sealed class Demo(CliContext context, BenchOptions options, bool json)
{
    private readonly Terminal.CliTerminal _terminal = context.Terminal;

    /// <summary>Without a page: what nobody will look at is not loaded.</summary>
    public async Task<int> OnceAsync(CancellationToken cancellation)
    {
        Open(null);
        await using var bench = await LocalBench.StartAsync(options, cancellation);
        var (exit, sweeps) = await SweepAllAsync(bench, cancellation);
        return exit == ExitCode.Good ? await FinishAsync(bench, sweeps, null, cancellation) : exit;
    }

    public async Task<int> ServeAsync(CancellationToken cancellation)
    {
        var hush = new Hush();
        await using var app = WebHost.Build(options, hush.Over);
        await app.StartBenchAsync(cancellation);
        try
        {
            Open(app.BoundUrl());
            await using var bench = new LocalBench(app.Services, owned: null);
            var (exit, sweeps) = await SweepAllAsync(bench, cancellation);
            if (exit == ExitCode.Good) exit = await FinishAsync(bench, sweeps, app.BoundUrl(), cancellation);
            if (exit != ExitCode.Good) return exit;
            hush.End();
            await ServeCommand.WaitAsync(app, cancellation);
            return ExitCode.Good;
        }
        finally
        {
            await app.StopAsync(CancellationToken.None);
        }
    }

    private void Open(string? url)
    {
        if (json) return;
        _terminal.Line(_terminal.OutInk.Faint(DemoScenario.Cautions));
        _terminal.Line("A simulated rig with a simulated tube: the museum's tide-clock, rail 28 V, bias -14 V, heaters 6.3 V.");
        if (url is not null) _terminal.Line($"Watch it being drawn at {_terminal.OutInk.Strong(url)}");
        _terminal.Line();
    }

    private async Task<(int Exit, IReadOnlyList<DemoSweep> Sweeps)> SweepAllAsync(LocalBench bench, CancellationToken cancellation)
    {
        using var viewer = bench.Feed.Subscribe();
        var first = FirstSampleAsync(viewer, cancellation);
        await bench.UntilConnectedAsync(context.Time, cancellation);
        var granted = await bench.GrantPermitAsync(DemoScenario.Permit, cancellation);
        if (!granted.IsAccepted) return (context.Tell(granted.Refusals, json, ExitCode.Refused), []);
        try
        {
            var sweeps = new List<DemoSweep>();
            foreach (var plan in DemoScenario.Plans)
            {
                var started = await bench.StartAsync(new SweepRequest(plan, DemoScenario.Tube, Socket: 0), cancellation);
                if (!started.IsAccepted) return (context.Tell(started.Refusals, json, ExitCode.Refused), sweeps);
                var ended = await new SweepWatch(bench, TerminalDisplay.For(_terminal), context.Time).FollowAsync(started.Value, cancellation);
                cancellation.ThrowIfCancellationRequested();
                var recorded = await bench.ReadAsync(ended.Id, cancellation);
                var report = new SweepReport(ended, recorded.CurvesView.Curves, recorded.Levels());
                if (report.ExitCode != ExitCode.Good)
                {
                    foreach (var fault in report.Faults()) _terminal.Complain(fault);
                    return (report.ExitCode, sweeps);
                }
                var csv = Path.Combine(options.DataDirectory, "exports", recorded.FileName("csv"));
                await recorded.WriteCsvAsync(csv);
                sweeps.Add(new(report, csv, SinceStart(await first)));
                if (!json) WriteCurve(report);
            }
            return (ExitCode.Good, sweeps);
        }
        finally
        {
            await bench.EndPermitAsync(CancellationToken.None);
        }
    }

    private void WriteCurve(SweepReport report)
    {
        _terminal.Line(_terminal.OutInk.Strong($"{report.Run.Tube.Label} ({report.Run.Tube.Type}) in {report.Run.Connection} connection, up and down"));
        CurveReport.Write(_terminal, report.Curves);
        _terminal.Line();
    }

    /// <summary>What the sweeps showed, then the counter stage that a lot of such tubes gives.</summary>
    private async Task<int> FinishAsync(LocalBench bench, IReadOnlyList<DemoSweep> sweeps, string? url, CancellationToken cancellation)
    {
        if (!json) WriteLevels(bench, sweeps);
        var faults = await new DemoStock(bench, context.Time).ScreenAsync(cancellation);
        if (faults.Count > 0) return context.Tell(faults, json, ExitCode.Refused);
        var built = await new DemoCounter(bench).BuildAsync(cancellation);
        if (built.Value is not { } counter) return context.Tell(built.Refusals, json, ExitCode.Failed);
        if (json)
        {
            CliJson.Write(_terminal, new DemoResult(
                Math.Round(sweeps[0].FirstSample.TotalSeconds, 3), options.DataDirectory, bench.Store.Name, url,
                [.. sweeps.Select(s => new DemoRun(s.Report.Run.Id, s.Report.Run.Connection, s.Report.Run.State, s.Report.Run.Samples, s.Csv, s.Report.Levels!, s.Report.Run))], counter));
            return ExitCode.Good;
        }
        _terminal.Line();
        _terminal.Lines(CounterText.Lines(counter, options.DataDirectory, _terminal.OutInk));
        if (url is null) return ExitCode.Good;
        _terminal.Line();
        _terminal.Line($"The page is at {_terminal.OutInk.Strong(url)}; Ctrl+C ends.");
        return ExitCode.Good;
    }

    private void WriteLevels(LocalBench bench, IReadOnlyList<DemoSweep> sweeps)
    {
        var levels = sweeps.Select(s => (s.Report.Run.Connection, s.Report.Levels!)).ToArray();
        foreach (var line in LevelsTable.Lines(levels, _terminal.Width, _terminal.OutInk)) _terminal.Line(line);
        _terminal.Line();
        _terminal.Line($"runs   {bench.Store.Name}");
        foreach (var sweep in sweeps) _terminal.Line($"csv    {sweep.Csv}");
        _terminal.Line($"again  sweeprig runs show {sweeps[^1].Report.Run.Id} --data {options.DataDirectory}");
    }

    private static async Task<DateTimeOffset> FirstSampleAsync(LiveViewer viewer, CancellationToken cancellation)
    {
        await foreach (var update in viewer.ReadAllAsync(cancellation))
            if (update is LiveUpdate.Block block) return block.NewestSampleUtc;
        throw new OperationCanceledException("The bench ended before its first sample.");
    }

    /// <summary>From the start of this process, as the system has it.</summary>
    private static TimeSpan SinceStart(DateTimeOffset sampled)
    {
        using var process = Process.GetCurrentProcess();
        return sampled - process.StartTime;
    }

    private sealed record DemoSweep(SweepReport Report, string Csv, TimeSpan FirstSample);

    /// <param name="FirstSampleSeconds">From the start of the process to the first recorded sample.</param>
    /// <param name="Url">Where the page is; null with <c>--once</c>.</param>
    /// <param name="Counter">The counter stage that the lot of the demonstration gives.</param>
    private sealed record DemoResult(double FirstSampleSeconds, string DataDirectory, string Database, string? Url, DemoRun[] Runs, CounterStage Counter);

    private sealed record DemoRun(string Id, string Connection, string State, long Samples, string Csv, RunLevelsView Levels, RunView Run);
}
