namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>Whether the stated intervals are true: 1,000 seeded sweeps of tubes whose constants are known, on benches whose errors are drawn from what their calibration states.</summary>
public static class RecoveryCoverageFigure
{
    public const int Sweeps = 1000;

    public static Task<FigureLine> MeasureAsync()
    {
        RecoveryCoveragePart[] parts = [RecoveryCoverageParameters.Measure(Sweeps), RecoveryCoverageLevels.Measure(Sweeps)];
        return Task.FromResult(new FigureLine(
            "recovery-coverage",
            $"{Percent(parts.Min(p => p.LeastCoverage))} to {Percent(parts.Max(p => p.MostCoverage))} %, bias {FigureLine.Text(parts.Max(p => p.WorstBias), "0.000")} u",
            "95 % intervals cover 93 to 97 %, bias under a tenth of the standard uncertainty",
            string.Join("; ", parts.Select(p => $"{p.What}: {p.Detail}")),
            Array.TrueForAll(parts, p => p.Met)));
    }

    private static string Percent(double part) => FigureLine.Text(100 * part, "0.0");
}
