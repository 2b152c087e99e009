using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Drawing;

/// <summary>Tells tubes that have no screen at all from those whose screen is tied to the plate.</summary>
internal static class TriodeTypes
{
    public static bool Is(TubePart tube, TypeCatalogue types) =>
        tube.IsTriode && tube.TypeName is { } name && types.Find(name) is { Kind: TubeKind.Triode or TubeKind.DoubleTriode };
}
