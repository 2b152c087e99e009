using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated;

/// <summary>Which tubes stand in the sockets of a simulated rig. Pure: the same choice gives the same tubes.</summary>
/// <param name="LotSeed">A seeded lot of <see cref="LotCount"/> tubes, <see cref="LotDefective"/> of them defective; null for the example tubes.</param>
/// <param name="Number">Tube of the lot in socket 0, 1 to <see cref="LotCount"/>; the next ones stand in the sockets beside it.</param>
/// <param name="Defect">What is wrong with the tube in socket 0, besides what the lot says; null for nothing.</param>
/// <param name="Typical">Constants of the type; null for the example tubes of the rig.</param>
public sealed record SimulatedTubes(int? LotSeed = null, int Number = 1, DefectKind? Defect = null, TubeParameters? Typical = null)
{
    public const int LotCount = 60, LotDefective = 15;

    public const string LotName = "LOT";

    /// <summary>The lot chosen, with its truth; null without one.</summary>
    public TubeLot? Lot => LotSeed is { } seed ? TubeLot.Draw(new(LotName, Typical ?? ExampleTubes.Sound6AU6, LotCount, LotDefective), seed) : null;

    /// <summary>The options with these tubes in the sockets.</summary>
    /// <param name="options">Their seed decides how bad a named defect is.</param>
    public SimulatedRigOptions Apply(SimulatedRigOptions options)
    {
        var specimens = Lot is { } lot
            ? Enumerable.Range(0, options.Tubes.Count).Select(i => lot.Tubes[(Number - 1 + i) % lot.Tubes.Count].Specimen).ToArray()
            : Examples(options);
        if (Defect is { } kind && specimens[0] is { } first) specimens[0] = kind.Draw(options.Seed).Apply(first);
        return options with { Tubes = [.. specimens.Select(s => s?.Parameters)], Behaviours = [.. specimens.Select(s => s?.Behaviour)] };
    }

    private Specimen?[] Examples(SimulatedRigOptions options)
    {
        Specimen?[] specimens = [.. options.Tubes.Select((t, i) => t is null ? null : new Specimen(t, options.Behaviours.ElementAtOrDefault(i) ?? TubeBehaviour.None))];
        if (Typical is { } typical) specimens[0] = new(typical, TubeBehaviour.None);
        return specimens;
    }
}
