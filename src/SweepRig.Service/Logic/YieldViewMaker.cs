using System.Globalization;
using SweepRig.Analysis.Grading;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
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
        ToleranceSettings.Check(t, faults);
        return faults;
    }

    /// <param name="request">Without faults.</param>
    /// <returns>Refused when the gate is wrong with its nominal parts.</returns>
    public static Outcome<YieldView> Of(AskedGate gate, ChosenTubes chosen, YieldRequest request, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(gate);
        ArgumentNullException.ThrowIfNull(chosen);
        ArgumentNullException.ThrowIfNull(request);
        var run = YieldRun.Run(gate.Network, gate.Placed(chosen), ToleranceSettings.Of(request.Tolerances), request.Trials, (ulong)request.Seed, request.LeastVolts, cancellation);
        if (run.Value is not { } found) return Outcome<YieldView>.Refuse([.. run.Refusals.Select(r => r with { Path = "/values" })]);
        var histogram = Histogram.Of([.. found.Distances]);
        return Outcome<YieldView>.Accept(new(
            gate.Network.Name, found.Trials, found.Good, found.Share, found.Low, found.High, new(histogram.Start, histogram.Width, [.. histogram.Counts]), found.Distances[0], found.Distances[found.Distances.Count / 2],
            [.. found.Weights.Take(Weights).Select(w => new YieldWeightView(w.Part, w.Share, w.Correlation > 0))], found.CornerVolts, found.CornerReach, Corner(found), found.Solutions, [.. Fallen(found), .. LogicRemarks.Of(chosen, [])]));
    }

    private static IEnumerable<string> Fallen(YieldResult found)
    {
        if (found.FellOver > 0) yield return $"{found.FellOver} of {found.Trials} do not hold a state that they should: let go from it they fall over into another, or come to no rest. They count as wrong, by the whole swing.";
    }

    // Each quantity is as likely on the one side of its nominal value as on the other, whatever the others are.
    private static string Corner(YieldResult found)
    {
        var odds = found.Quantities <= 20 ? string.Create(CultureInfo.InvariantCulture, $"one build in {1 << found.Quantities}") : $"less than one build in 10^{Math.Floor(found.Quantities * Math.Log10(2)):0}";
        var at = $"With all {found.Quantities} quantities at their adverse ends at once, tubes at two standard deviations,";
        var left = found.CornerVolts > 0
            ? $"{Engineering.Format(found.CornerVolts, "V", 3)} are left"
            : $"a row is wrong, though all are right up to {100 * found.CornerReach:0} % of the way there";
        return $"{at} {left}; such a corner is no trial, for in {odds} are all of them on their adverse side.";
    }

    private static double ExtraLow => Domain.Tubes.ExtraLowVoltage.Limit.Value;
}
