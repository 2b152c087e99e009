using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>What stages do with any of some tubes in them: curves, levels, margins, and what they take.</summary>
public static class StageViewMaker
{
    /// <summary>Inputs at which curves are given.</summary>
    private const int Points = 141;

    /// <returns>Refused when a stage has no solution.</returns>
    public static Outcome<StageView> Of(StageSettings settings, ChosenTubes chosen, int fanOut, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentNullException.ThrowIfNull(chosen);
        var (rails, values) = (settings.Rails, settings.Values);
        double[] inputs = [.. Enumerable.Range(0, Points).Select(n => rails.Plate * n / (Points - 1))];
        var (curves, views, burden) = (new List<Transfer>(), new List<StageCurveView>(), default(StageBurden));
        foreach (var tube in chosen.Tubes)
        {
            cancellation.ThrowIfCancellationRequested();
            // What a stage feeds is taken to be tubes like its own.
            if (StageTransfer.Measure(rails, values, tube.Part, tube.Part, fanOut, Points, settings.Shape) is not { } measured)
                return Outcome<StageView>.Refuse(new Refusal("no-solution", "/values", $"the stage with {tube.Part.Number ?? "the example tube"} at a plate resistor of {values.PlateOhms:0} Ω", "a stage must have a balance at each input", "Choose other values."));
            curves.Add(measured.Curve);
            burden = burden.Or(measured.Burden);
            views.Add(Curve(tube, values.IsTriode, measured.Curve, measured.Burden, inputs));
        }
        var envelope = TransferEnvelope.Of(curves, Points);
        var levels = envelope.Levels;
        var rest = levels.Restores ? (levels.Low, levels.HighOfSecond) : (0, rails.Plate);
        return Outcome<StageView>.Accept(new(
            inputs, [.. views], [.. inputs.Select(x => envelope.Lowest.At(x))], [.. inputs.Select(x => envelope.Highest.At(x))],
            new(levels.Restores, levels.Low, levels.HighOfSecond, levels.Restores ? levels.Middle : null, levels.LoopGain), Margins(envelope, curves), View(burden),
            Rest(settings, chosen, fanOut, rest.Item1), Rest(settings, chosen, fanOut, rest.Item2), [.. chosen.NotSwept], [.. Remarks(settings, chosen, views, levels)]));
    }

    public static StageBurdenView View(StageBurden burden) => new(burden.GridAmps, burden.PlateWatts, burden.ScreenWatts, burden.CathodeAmps, burden.ResistorWatts);

    private static StageCurveView Curve(ChosenTube tube, bool triode, Transfer curve, StageBurden burden, double[] inputs)
    {
        var levels = ChainLevels.Of(curve, curve);
        var unity = UnityMargins.Of(curve);
        double[] outputs = [.. inputs.Select(curve.At)];
        return new(tube.Part.Number, outputs, levels.Low, levels.HighOfSecond, unity.InputLow, unity.InputHigh, SquareMargins.Of(curve, curve, levels).Smaller, tube.Marked(triode, outputs.Min(), burden.CathodeAmps));
    }

    private static StageMarginsView Margins(TransferEnvelope envelope, List<Transfer> curves)
    {
        var unity = curves.Select(UnityMargins.Of).ToList();
        var says = unity.Select(u => u.Says).FirstOrDefault(s => s is not null);
        double? low = unity.Any(u => u.InputLow is null) ? null : unity.Min(u => u.InputLow), high = unity.Any(u => u.InputHigh is null) ? null : unity.Max(u => u.InputHigh);
        var levels = envelope.Levels;
        var (side, x, y) = envelope.Square();
        return new(low, high, levels.Restores ? low - levels.Low : null, levels.Restores ? levels.HighOfSecond - high : null, side, x, y, says);
    }

    // With each tube, the most that any of them takes.
    private static StageRestView? Rest(StageSettings settings, ChosenTubes chosen, int fanOut, double input)
    {
        StageRestView? most = null;
        foreach (var tube in chosen.Tubes)
        {
            var like = tube.Part with { Number = null };
            var network = settings.Shape.Network(settings.Rails, settings.Values, fanOut);
            var values = new CircuitValues(Circuit.Of(GateWiring.Wire(network, _ => like, [Waveform.Steady(input)])));
            if (new DcSolver(values).Solve() is not { } point) continue;
            // What the stages around it take from the rail is theirs, not its own.
            var loads = values.Circuit.Network.Parts.OfType<Resistor>().Where(r => r.A == GateWiring.PlateRail && r.Name is not ("Rp_y" or "Rs_y_1"));
            var others = loads.Sum(r => (settings.Rails.Plate - point.At(r.B)) / r.Ohms * settings.Rails.Plate);
            var one = new StageRestView(input, point.At("y"), point.SourceAmps[2], point.SourceWatts(values) - input * point.SourceAmps[2] - others, tube.Part.HeaterAmps * tube.Part.HeaterVolts);
            if (most is null || one.SupplyWatts > most.SupplyWatts) most = one;
        }
        return most;
    }

    private static IEnumerable<string> Remarks(StageSettings settings, ChosenTubes chosen, List<StageCurveView> views, ChainLevels levels)
    {
        if (!levels.Restores)
        {
            yield return chosen.Tubes.Count == 1
                ? $"No levels are restored: a long chain of these stages comes to one level. {StageTransfer.Remedy(settings.Shape.Kind, settings.Values.IsTriode)}"
                : "No levels are restored for all of these tubes together. Search other values, or leave out those with the least margin.";
        }
        foreach (var remark in LogicRemarks.Of(settings.Shape)) yield return remark;
        foreach (var remark in LogicRemarks.Of(chosen, views.Where(v => v.Marked is not null).Select(v => (v.Tube!, v.Marked!)))) yield return remark;
    }
}
