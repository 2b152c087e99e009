using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Reports;

/// <summary>What the screening of the tube says, on paper.</summary>
public static class ReportHealth
{
    public static ReportSection Of(HealthView health) => new("Health, from a screening", [],
        [
            new("", ["item", "verdict", "value"], [.. health.Items.Select(i => (string[])[i.Title, HealthText.Word(i.Verdict), i.Figure.Value is null ? "" : FigureText.Scaled(i.Figure)])]),
        ],
        [.. health.NotSeen.Select(n => $"Not seen: {n}.")])
    {
        Lead = [$"Verdict: {HealthText.Sentence(health.Verdict)}{(health.Reasons.Length > 0 ? ": " + string.Join("; ", health.Reasons).TrimEnd('.') : "")}."],
    };

    public static ReportSection NotScreened(TubeView tube) => new("Health", [], [],
        [$"This tube was not screened: nothing here tells of shorts, leakage, reverse grid current or drift. Screen it: sweeprig screen --tube {tube.Label} --type {tube.Type}."]);
}
