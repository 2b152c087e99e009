using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>The plot of a run's curves.</summary>
public static class CurveReport
{
    public static void Write(CliTerminal terminal, IReadOnlyList<CurveView> curves)
    {
        foreach (var line in TextPlot.Lines(curves, Math.Min(terminal.Width, 80))) terminal.Line(line);
    }
}
