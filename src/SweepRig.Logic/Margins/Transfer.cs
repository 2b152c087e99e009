namespace SweepRig.Logic.Margins;

/// <summary>Output of an inverting stage as a function of its input, over a range of inputs.</summary>
/// <param name="Low">Lowest input. Unit: V.</param>
/// <param name="High">Highest input. Unit: V.</param>
/// <param name="At">Output at an input within the range. Unit: V.</param>
/// <param name="Slope">Its derivative there.</param>
public sealed record Transfer(double Low, double High, Func<double, double> At, Func<double, double> Slope)
{
    /// <summary>A table with slopes, joined by cubic pieces that keep both (Hermite).</summary>
    /// <param name="inputs">Rising, at least two.</param>
    /// <param name="outputs">As many.</param>
    /// <param name="slopes">As many.</param>
    /// <exception cref="ArgumentException">Lengths differ, fewer than two, or inputs that do not rise.</exception>
    public static Transfer Through(double[] inputs, double[] outputs, double[] slopes)
    {
        ArgumentNullException.ThrowIfNull(inputs);
        ArgumentNullException.ThrowIfNull(outputs);
        ArgumentNullException.ThrowIfNull(slopes);
        if (inputs.Length < 2 || outputs.Length != inputs.Length || slopes.Length != inputs.Length)
            throw new ArgumentException($"Given are {inputs.Length} inputs, {outputs.Length} outputs and {slopes.Length} slopes; give equal numbers, two at least.", nameof(inputs));
        for (var i = 1; i < inputs.Length; i++)
            if (!(inputs[i] > inputs[i - 1])) throw new ArgumentException($"Input {i} is {inputs[i]} V after {inputs[i - 1]} V; inputs rise.", nameof(inputs));
        return new(inputs[0], inputs[^1], x => Piece(x).Value, x => Piece(x).Slope);

        (double Value, double Slope) Piece(double x)
        {
            var at = Array.BinarySearch(inputs, x);
            var i = Math.Clamp(at >= 0 ? at : ~at - 1, 0, inputs.Length - 2);
            double h = inputs[i + 1] - inputs[i], t = (x - inputs[i]) / h;
            double a = outputs[i], b = outputs[i + 1], m = slopes[i] * h, n = slopes[i + 1] * h;
            var cubic = 2 * (a - b) + m + n;
            var square = 3 * (b - a) - 2 * m - n;
            return (((cubic * t + square) * t + m) * t + a, ((3 * cubic * t + 2 * square) * t + m) / h);
        }
    }
}
