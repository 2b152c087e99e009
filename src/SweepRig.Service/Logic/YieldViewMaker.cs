using SweepRig.Analysis.Grading;
using SweepRig.Domain;
using SweepRig.Logic.Yield;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>A gate built many times in numbers: read, run, and told.</summary>
public static class YieldViewMaker
{
    public const int MostTrials = 100_000;

    private const int Weights = 12;

    /// <returns>Every fault of what is asked beside the gate itself.</returns>
    public static IReadOnlyList<Refusal> Faults(YieldRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var faults = new List<Refusal>();
        var t = request.Tolerances ?? new();
        StageSettings.Within(faults, "/trials", "trials", request.Trials, 1, MostTrials, "", "2000 tell a yield within 2 %.");
        StageSettings.Within(faults, "/seed", "seed", request.Seed, 0, int.MaxValue, "", "Give any number in this range.");
        StageSettings.Within(faults, "/leastVolts", "least distance", request.LeastVolts, 0, ExtraLow, "V", "Give 0 for any distance.");
        StageSettings.Within(faults, "/tolerances/resistorPercent", "resistor tolerance", t.ResistorPercent, 0, 50, "%", "Give that of the resistors, for example 5.");
        StageSettings.Within(faults, "/tolerances/railPercent", "rail tolerance", t.RailPercent, 0, 50, "%", "Give how far each rail may be off.");
        StageSettings.Within(faults, "/tolerances/currentPercent", "drift of the current", t.CurrentPercent, 0, 50, "%", "Give one standard deviation.");
        StageSettings.Within(faults, "/tolerances/offsetVolts", "drift of the grid offset", t.OffsetVolts, 0, 2, "V", "Give one standard deviation.");
        StageSettings.Within(faults, "/tolerances/emissionPercent", "drift of the emission", t.EmissionPercent, 0, 50, "%", "Give one standard deviation.");
        return faults;
    }

    /// <param name="request">Without faults.</param>
    /// <returns>Refused when the gate is wrong with its nominal parts.</returns>
    public static Outcome<YieldView> Of(AskedGate gate, ChosenTubes chosen, YieldRequest request, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(gate);
        ArgumentNullException.ThrowIfNull(chosen);
        ArgumentNullException.ThrowIfNull(request);
        var t = request.Tolerances ?? new();
        var tolerances = new Tolerances(t.ResistorPercent / 100, t.RailPercent / 100, t.CurrentPercent / 100, t.OffsetVolts, t.EmissionPercent / 100);
        var run = YieldRun.Run(gate.Network, gate.Placed(chosen), tolerances, request.Trials, (ulong)request.Seed, request.LeastVolts, cancellation);
        if (run.Value is not { } found) return Outcome<YieldView>.Refuse([.. run.Refusals.Select(r => r with { Path = "/values" })]);
        var histogram = Histogram.Of([.. found.Distances]);
        return Outcome<YieldView>.Accept(new(
            gate.Network.Name, found.Trials, found.Good, found.Share, found.Low, found.High, new(histogram.Start, histogram.Width, [.. histogram.Counts]), found.Distances[0], found.Distances[found.Distances.Count / 2],
            [.. found.Weights.Take(Weights).Select(w => new YieldWeightView(w.Part, w.Share, w.Correlation > 0))], found.CornerVolts, found.Solutions, [.. LogicRemarks.Of(chosen, [])]));
    }

    private static double ExtraLow => Domain.Tubes.ExtraLowVoltage.Limit.Value;
}
