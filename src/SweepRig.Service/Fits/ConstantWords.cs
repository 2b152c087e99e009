using System.Text.Json;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Fits;

/// <summary>The constants of a tube in words.</summary>
public static class ConstantWords
{
    /// <summary>Name in documents: camel case.</summary>
    public static string Name(TubeParameter constant) => JsonNamingPolicy.CamelCase.ConvertName(constant.ToString());

    public static string Title(TubeParameter constant) => constant switch
    {
        TubeParameter.Perveance => "Perveance",
        TubeParameter.ScreenMu => "Amplification factor, grid to screen",
        TubeParameter.PlateMu => "Amplification factor, grid to plate",
        TubeParameter.GridOffset => "Contact potential",
        TubeParameter.CutoffSpread => "Softness of the cut-off",
        TubeParameter.GridShare => "Grid current, share",
        TubeParameter.GridOnset => "Grid current, onset",
        TubeParameter.GridSpaceLimit => "Space-charge limit behind the grid",
        TubeParameter.PlateShare => "Plate current over screen current",
        TubeParameter.PlateShareSlope => "Its exponent with the plate voltage",
        TubeParameter.PlateSpaceLimit => "Space-charge limit before the plate",
        TubeParameter.FoldBackCurrent => "Fold-back current",
        TubeParameter.Emission => "Emission",
        TubeParameter.GasRatio => "Reverse grid current over cathode current",
        TubeParameter.GridCathodeLeakSiemens => "Leakage, grid to cathode",
        _ => throw new ArgumentOutOfRangeException(nameof(constant), constant, "SweepRig bug: this constant has no words."),
    };
}
