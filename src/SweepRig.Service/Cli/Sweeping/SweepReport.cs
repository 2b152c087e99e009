using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Sweeping;

/// <summary>A run as it ended, with what its curves say.</summary>
/// <param name="Levels">Null when the run has no samples.</param>
public sealed record SweepReport(RunView Run, IReadOnlyList<CurveView> Curves, RunLevelsView? Levels)
{
    public static async Task<SweepReport> OfAsync(IBench bench, RunView run, CancellationToken cancellationToken)
    {
        if (run.Samples == 0) return new(run, [], null);
        var curves = await bench.CurvesAsync(run.Id, cancellationToken);
        return new(run, curves.Curves, await bench.LevelsAsync(run.Id, cancellationToken));
    }

    /// <summary>0 for a run that went to its end, 3 for a trip, 1 for anything else.</summary>
    public int ExitCode => Run.State switch
    {
        "complete" => Cli.ExitCode.Good,
        "tripped" => Cli.ExitCode.Refused,
        _ => Cli.ExitCode.Failed,
    };

    /// <summary>Why it did not go to its end, a line each; empty when it did.</summary>
    public IEnumerable<string> Faults() => Run.State switch
    {
        "complete" => [],
        "tripped" => Run.Trips.Select(t => RunText.Trip(t.Title, t.Measured, t.Limit, t.LikelyCause, t.Remedy)).Append($"The run ended with the trip; its {Run.Samples} samples are kept as {Run.Id}."),
        "stopped" => [$"Stopped before its end; its {Run.Samples} samples are kept as {Run.Id}."],
        _ => [$"The run ended {Run.State}; its {Run.Samples} samples are kept as {Run.Id}."],
    };

    public void Write(CliTerminal terminal)
    {
        terminal.Line(terminal.OutInk.Strong($"{Run.Tube.Label}, {Run.Tube.Type}, {Run.Connection} connection") + $"  run {Run.Id}");
        foreach (var gap in Run.Gaps) terminal.Line($"Gap: pass {gap.Pass}, {gap.Points} points from point {gap.FirstPoint} on are missing: {gap.Reason}");
        terminal.Line();
        CurveReport.Write(terminal, Curves);
        if (Levels is null) return;
        terminal.Line();
        foreach (var line in LevelsTable.Lines([("", Levels)], terminal.Width, terminal.OutInk)) terminal.Line(line);
    }
}
