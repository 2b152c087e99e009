using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Maps;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>The sides of a margin map out of a request, and what is taken where nothing is said.</summary>
internal static class MapSettings
{
    public const int FewestSteps = 3, MostSteps = 60;
    public const double LeastLimit = 0.01;

    private const double Lower = 0.4, Higher = 1.4, BiasLower = 1.6, BiasHigher = 0.2;

    /// <returns>Every fault of what is asked beside the gate itself.</returns>
    public static IReadOnlyList<Refusal> Faults(MapRequest request)
    {
        var faults = new List<Refusal>();
        var most = ExtraLowVoltage.Limit.Value;
        if (request.Against is not ("screen" or "bias")) faults.Add(new("supply-unknown", "/against", $"supply \"{request.Against}\"", "screen or bias", "Write one of these."));
        StageSettings.Within(faults, "/steps", "steps", request.Steps, FewestSteps, MostSteps, "", "13 show where the limit runs; it is followed between them.");
        StageSettings.Within(faults, "/limitVolts", "limit", request.LimitVolts, LeastLimit, most, "V", "Margins are found to a millivolt; give for example 0.1.");
        if (request.Against == "bias" && (request.Rails ?? StageSettings.UsualRails).BiasVolts == 0)
            faults.Add(new("no-bias", "/against", "the bias rail of a gate that has none", "it must be below 0 V to be moved", "Map against the screens, or give a bias rail."));
        Span("/plateSpan", request.PlateSpan, 0.1);
        Span("/otherSpan", request.OtherSpan, request.Against == "bias" ? -most : 0.1);
        return faults;

        void Span(string path, VoltSpanView? span, double least)
        {
            if (span is null) return;
            StageSettings.Within(faults, path + "/from", "lowest voltage", span.From, least, most, "V", "Extra-low voltage only.");
            StageSettings.Within(faults, path + "/to", "highest voltage", span.To, least, most, "V", "Extra-low voltage only.");
            if (span.To <= span.From) faults.Add(new("span-not-rising", path, FormattableString.Invariant($"{span.From:0.###} V to {span.To:0.###} V"), "the second must be the higher", "Exchange them."));
        }
    }

    /// <param name="request">Without faults.</param>
    public static MapOrder Order(MapRequest request, AskedGate gate, ChosenTubes chosen)
    {
        var (rails, most) = (gate.Network.Rails, ExtraLowVoltage.Limit.Value);
        var bias = request.Against == "bias";
        // No two rails may be further apart than the limit, so what is not asked for keeps within it.
        var deepest = bias ? Math.Min(rails.Bias, request.OtherSpan?.From ?? rails.Bias) : rails.Bias;
        var plate = request.PlateSpan ?? new(Tenths(Lower * rails.Plate), Tenths(Math.Min(Higher * rails.Plate, most + Math.Min(0, deepest))));
        var screens = rails.Screen ?? rails.Plate;
        var other = request.OtherSpan ?? (bias
            ? new(Tenths(Math.Max(BiasLower * rails.Bias, plate.To - most)), Tenths(BiasHigher * rails.Bias))
            : new(Tenths(Lower * screens), Tenths(Math.Min(Higher * screens, most + Math.Min(0, rails.Bias)))));
        return new(gate.Network, gate.Placed(chosen), bias ? MapSupply.Bias : MapSupply.Screen, Points(plate, request.Steps), Points(other, request.Steps), request.LimitVolts);
    }

    private static double[] Points(VoltSpanView span, int steps) => [.. Enumerable.Range(0, steps).Select(n => Math.Round(span.From + (span.To - span.From) * n / (steps - 1), 6))];

    private static double Tenths(double volts) => Math.Round(volts, 1);
}
