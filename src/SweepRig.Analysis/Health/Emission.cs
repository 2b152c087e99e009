using SweepRig.Domain.Quantities;
using SweepRig.Domain.Screening;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Health;

/// <summary>Whether the cathode gives current, how much of it, and with what reserve.</summary>
internal static class Emission
{
    /// <summary>Less is no conduction.</summary>
    private const double LeastAmps = 20e-6;

    internal static readonly HealthTopic Heater = new(
        "heater-current", "heater current", "A", 0, 0, "Not measured.", "MIL-STD-1311, method 1301: heater current at rated voltage after thermal equilibrium",
        "nothing: this rig has no channel in the heater line", "heater current, an air leak that cools the heater, a partly shorted heater");

    internal static readonly HealthTopic Continuity = new(
        "heater-continuity", "current once warm", "A", 50e-6, LeastAmps, "Current at 0 V drive at the end of the warm-up step.", "common practice, no source",
        "a heater that warms a cathode which emits", "which of them is at fault when nothing flows: an open heater, a pin without contact, a dead cathode look alike");

    internal static readonly HealthTopic Strength = new(
        "current-at-zero", "current at 0 V drive, of an ordinary tube of the type", "%", 65, 50,
        "Current of plate and screen at 0 V drive, warm, over that of the type's example constants in the same fixture.",
        "end of life of an RF pentode at its own operating point: 67 % of plate current (EF860 data sheet, RFT); lower here, because example constants and lots differ more (illustrative)",
        "a weak tube, or one with a resistance in its cathode", "why it is weak");

    internal static readonly HealthTopic Reserve = new(
        "emission-reserve", "fall of the current with 10 % less heater voltage", "%", 4, 8,
        "Current at 0 V drive, heater at 0.9 of its rating and come to rest, against the current just before.",
        "emission slump or activity test, 6.3 to 5.7 V (MIL-STD-1311; method number from memory: 1231); limits illustrative",
        "a cathode near the end of its emission at the current of this rail", "a reserve that would be short only at the higher currents of the books' voltages");

    public static IEnumerable<HealthItem> Items(Screened s)
    {
        yield return Heater.Item(Figure.None("A", "this rig has no channel in the heater line"), HealthVerdict.NotSeen, "heater current: this rig has no channel in the heater line");
        yield return Conducts(s);
        yield return OfOrdinary(s);
        yield return Fall(s);
    }

    /// <summary>Current at 0 V once warm and at rest; none when the tube never came to that.</summary>
    public static Mean? Final(Screened s)
    {
        var curve = s.Of(ScreeningStepKind.FirstMinutes) ?? s.Of(ScreeningStepKind.WarmUp);
        return curve is null ? null : s.CathodeCurrent(curve, curve.Count - Math.Max(4, curve.Count / 20), curve.Count);
    }

    private static HealthItem Conducts(Screened s)
    {
        if (s.Of(ScreeningStepKind.WarmUp) is not { } curve) return Continuity.NotSeen(s.Missing(ScreeningStepKind.WarmUp));
        var end = s.CathodeCurrent(curve, curve.Count * 9 / 10, curve.Count);
        var u = Math.Sqrt(end.Uncertainty * end.Uncertainty + Math.Pow(s.CurrentGain * end.Value, 2));
        if (end.Value >= LeastAmps) return Continuity.Item(Figure.Of(end.Value, "A", u, s.Mark), HealthVerdict.Good);
        return Continuity.Item(
            Figure.Of(end.Value, "A", u, s.Mark), HealthVerdict.Bad,
            $"no current {Screened.Seconds(curve, curve.Count - 1).ToString("0", System.Globalization.CultureInfo.InvariantCulture)} s after the heater was switched on: heater open, a pin without contact, or a dead cathode");
    }

    private static HealthItem OfOrdinary(Screened s)
    {
        if (Final(s) is not { } final) return Strength.NotSeen(s.Missing(ScreeningStepKind.WarmUp));
        if (ExampleTubes.Find(s.Header.Tube.TypeName) is not { } example) return Strength.NotSeen($"no example constants of type {s.Header.Tube.TypeName} are known");
        var ordinary = new FixtureSolver(s.Connection).Solve(new TubeModel(example, new Volts(example.RatedHeater)), 0);
        if (!ordinary.IsSolved) return Strength.NotSeen("the model has no balance in this fixture");
        var share = 100 * final.Value / (ordinary.PlateCurrent + ordinary.ScreenCurrent);
        return Strength.JudgeLow(share, share * s.CurrentGain, s.Mark);
    }

    private static HealthItem Fall(Screened s)
    {
        if (s.Of(ScreeningStepKind.LowHeater) is not { } low) return Reserve.NotSeen(s.Missing(ScreeningStepKind.LowHeater));
        if (s.Of(ScreeningStepKind.FirstMinutes) is null || Final(s) is not { Value: > LeastAmps } before) return Reserve.NotSeen(s.Missing(ScreeningStepKind.FirstMinutes));
        var tail = Math.Max(4, low.Count / 20);
        var end = s.CathodeCurrent(low, low.Count - tail, low.Count);
        var earlier = s.CathodeCurrent(low, low.Count - 3 * tail, low.Count - 2 * tail);
        var moving = Math.Abs(end.Value - earlier.Value) / before.Value;
        // A common gain falls out of the ratio.
        var u = 100 * Math.Sqrt(Math.Pow(end.Uncertainty / before.Value, 2) + Math.Pow(before.Uncertainty / before.Value, 2) + moving * moving / 3);
        return Reserve.Judge(100 * (1 - end.Value / before.Value), u, moving > 0.01 ? "the current had not come to rest" : null);
    }
}
