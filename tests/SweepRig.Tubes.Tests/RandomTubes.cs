using CsCheck;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests;

/// <summary>Tubes far wider apart than any lot, for property tests.</summary>
internal static class RandomTubes
{
    private static readonly TubeParameters[] Examples = [ExampleTubes.Sound6AU6, ExampleTubes.Sound6BH6, ExampleTubes.Weak6AU6];

    private static readonly Gen<double> Factor = Gen.Double[-0.7, 0.7].Select(Math.Exp);

    public static readonly Gen<TubeParameters> Any =
        from example in Gen.Int[0, 2].Select(n => Examples[n])
        from space in Gen.Select(Factor, Factor, Gen.Double[-0.4, 0.4], Factor)
        from grid in Gen.Select(Factor, Gen.Double[-0.3, 0.3], Factor, Gen.Double[1.5, 4])
        from plate in Gen.Select(Factor, Factor, Factor, Gen.Double[1.5, 4])
        from rest in Gen.Select(Gen.Double[-2.5, 0.7].Select(Math.Exp), Gen.Double[1.5, 4], Gen.Double[0, 1e-3], Gen.Bool)
        select example with
        {
            Perveance = example.Perveance * space.Item1,
            ScreenMu = example.ScreenMu * space.Item2,
            GridOffset = example.GridOffset + space.Item3,
            CutoffSpread = example.CutoffSpread * space.Item4,
            GridShare = example.GridShare * grid.Item1,
            GridOnset = example.GridOnset + grid.Item2,
            GridSpaceLimit = example.GridSpaceLimit * grid.Item3,
            GridSpaceSharpness = rest.Item4 ? 2 : grid.Item4,
            PlateShare = example.PlateShare * plate.Item1,
            PlateSpaceLimit = example.PlateSpaceLimit * plate.Item2,
            FoldBackCurrent = example.FoldBackCurrent * plate.Item3,
            PlateSpaceSharpness = rest.Item4 ? 2 : plate.Item4,
            Emission = example.Emission * rest.Item1,
            EmissionSharpness = rest.Item4 ? 2 : rest.Item2,
            GasRatio = rest.Item3,
        };
}
