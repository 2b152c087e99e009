using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Timing;

/// <summary>The voltage of one input over a sequence.</summary>
internal static class InputWave
{
    /// <param name="at">Which input.</param>
    /// <param name="edgeSeconds">From one level to the other, at the begin of the step that changes it.</param>
    public static Waveform Of(IReadOnlyList<SequenceStep> steps, int at, (double Low, double High) levels, double edgeSeconds)
    {
        double Volts(int n) => steps[n].Inputs[at] ? levels.High : levels.Low;
        List<(double, double)> corners = [(0, Volts(0))];
        var begin = 0.0;
        for (var n = 1; n < steps.Count; n++)
        {
            begin += steps[n - 1].Seconds;
            if (steps[n].Inputs[at] == steps[n - 1].Inputs[at]) continue;
            corners.Add((begin, Volts(n - 1)));
            corners.Add((begin + edgeSeconds, Volts(n)));
        }
        return Waveform.Through(corners);
    }
}
