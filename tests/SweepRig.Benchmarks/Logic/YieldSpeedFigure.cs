using System.Diagnostics;
using System.Globalization;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Benchmarks.Fits;
using SweepRig.Logic.Yield;

namespace SweepRig.Benchmarks.Logic;

/// <summary>Trials of a half adder's yield, all four rows solved in each, beside ngspice in one process and SciPy's root solver on the same network; in turns, in one call.</summary>
public static class YieldSpeedFigure
{
    private const int Ours = 200_000, Spice = 40, SciPy = 20, Rounds = 3;

    /// <exception cref="InvalidOperationException">ngspice or SciPy is missing, or the three do not agree.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var table = NominalTable.Of(HalfAdderTrials.Network, HalfAdderTrials.Tube).Value ?? throw new InvalidOperationException("SweepRig bug: the half adder is wrong with its nominal parts.");
        double ours = double.PositiveInfinity, oneThread = double.PositiveInfinity, spice = double.PositiveInfinity, sciPy = double.PositiveInfinity, apart = 0, solutions = 0;
        _ = Run();
        for (var round = 0; round < Rounds; round++)
        {
            var (clock, used) = (Stopwatch.StartNew(), Environment.CpuUsage.TotalTime);
            var result = Run();
            var seconds = clock.Elapsed.TotalSeconds;
            oneThread = Math.Min(oneThread, (Environment.CpuUsage.TotalTime - used).TotalSeconds / Ours);
            ours = Math.Min(ours, seconds / Ours);
            solutions = Math.Max(solutions, 4 * Ours / seconds);
            if (result.Good < Ours / 2) throw new InvalidOperationException("SweepRig bug: the half adder of the comparison hardly works.");
            spice = Math.Min(spice, await SpiceAsync(table));
            var lines = await PythonScript.RunAsync("../Logic/yield_speed.py", [], HalfAdderTrials.ForScript(table, SciPy));
            sciPy = Math.Min(sciPy, double.Parse(lines[0], CultureInfo.InvariantCulture));
            apart = Math.Max(apart, double.Parse(lines[1], CultureInfo.InvariantCulture));
        }
        if (apart > 1e-6) throw new InvalidOperationException($"SweepRig bug: SciPy balances the nominal rows {apart} V elsewhere.");
        return new(
            "yield-speed",
            string.Create(CultureInfo.InvariantCulture, $"{spice / ours:0} times ngspice, {sciPy / ours:0} times SciPy, {solutions:0} solutions a second"),
            ">= 1000 times both a trial, >= 20 000 solutions a second",
            string.Create(CultureInfo.InvariantCulture, $"a trial of four rows: ours {1e6 * ours:0.0} us on {Environment.ProcessorCount} processors, {1e6 * oneThread:0.0} us of processor time ({spice / oneThread:0} and {sciPy / oneThread:0} times), ngspice {1e3 * spice:0.0} ms, SciPy {1e3 * sciPy:0.0} ms; nominal rows within {apart:0.0e0} V of SciPy's"),
            spice / ours >= 1000 && sciPy / ours >= 1000 && solutions >= 20_000);
    }

    private static YieldResult Run() => YieldRun.Run(HalfAdderTrials.Network, HalfAdderTrials.Tube, HalfAdderTrials.Tolerances, Ours, seed: 1).Value!;

    // The start of the process and the reading of the deck are taken off by a run with few trials.
    private static async Task<double> SpiceAsync(NominalTable table)
    {
        var (few, many) = (await TimeAsync(table, 2), await TimeAsync(table, 2 + Spice));
        return (many - few) / Spice;
    }

    private static async Task<double> TimeAsync(NominalTable table, int trials)
    {
        var folder = Directory.CreateTempSubdirectory("sweeprig-yield-");
        try
        {
            await File.WriteAllTextAsync(Path.Combine(folder.FullName, Ngspice.DeckName), HalfAdderTrials.SpiceDeck(trials, table.Levels.Low, table.Levels.High));
            var clock = Stopwatch.StartNew();
            var said = await Ngspice.SaidAsync(folder.FullName, CancellationToken.None);
            var seconds = clock.Elapsed.TotalSeconds;
            var answers = said.Split('\n').Count(l => l.StartsWith("v(sum) = ", StringComparison.Ordinal));
            return answers == 4 * trials ? seconds : throw new InvalidOperationException($"ngspice solved {answers} of {4 * trials} rows. It said: {said[..Math.Min(2000, said.Length)]}");
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
