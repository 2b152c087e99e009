using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>How signals went in time, as it was reckoned, thinned out for a plot.</summary>
/// <param name="Seconds">Rising. Counted from where the input of <see cref="Path"/> passes the threshold, otherwise from the start.</param>
/// <param name="Signals">Names, the input first.</param>
/// <param name="Volts">Of each signal, a voltage a moment.</param>
/// <param name="Path">The delay that is shown; null for a trigger at its shortest period.</param>
public sealed record TimingWave(IReadOnlyList<double> Seconds, IReadOnlyList<string> Signals, IReadOnlyList<IReadOnlyList<double>> Volts, EdgeDelay? Path)
{
    private const int MostPoints = 600;

    // Of the delay: before the edge, and after it.
    private const double Before = 2, After = 5;

    /// <summary>An edge and its answer, with some of what is around them.</summary>
    internal static TimingWave Of(Transient transient, string input, string output, EdgeDelay delay) =>
        Cut(transient, [input, output], delay.AtSeconds - Before * delay.Seconds, delay.AtSeconds + After * delay.Seconds, delay.AtSeconds, delay);

    /// <summary>All of it.</summary>
    internal static TimingWave Of(Transient transient, IReadOnlyList<string> signals) => Cut(transient, signals, transient.Seconds[0], transient.Seconds[^1], 0, null);

    // Moments as they were reckoned, which lie close where something happens; both ends between them.
    private static TimingWave Cut(Transient transient, IReadOnlyList<string> signals, double from, double to, double zero, EdgeDelay? path)
    {
        (from, to) = (Math.Max(from, transient.Seconds[0]), Math.Min(to, transient.Seconds[^1]));
        double[] within = [.. transient.Seconds.Where(s => s > from && s < to)];
        var step = 1 + within.Length / MostPoints;
        double[] at = [from, .. within.Where((_, n) => n % step == 0), to];
        return new([.. at.Select(s => s - zero)], signals, [.. signals.Select(name => (IReadOnlyList<double>)[.. at.Select(s => transient.At(name, s))])], path);
    }
}
