using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>
/// Where a fit begins and how far a constant may lie from there before the data have said anything: one standard deviation of a normal distribution of the
/// coordinate, several times what the tubes of a type differ by. It keeps what the data do not tell within what tubes are; a constant that leans on it is not given.
/// </summary>
internal static class ConstantPriors
{
    /// <summary>A constant counts as determined when the data bring its uncertainty below this part of the prior's: 30 % of the value for most.</summary>
    public const double Determined = 0.3;

    /// <summary>The tube to begin with, where the type has no example of its own.</summary>
    public static TubeParameters Typical => ExampleTubes.Sound6AU6;

    /// <summary>Standard deviation of the coordinate: for a logarithm 1 is a factor of 2.7 either way. Illustrative, no source; see <see cref="LotSpread"/>.</summary>
    public static double Width(TubeParameter parameter) => parameter switch
    {
        TubeParameter.GridOffset => 0.5,
        TubeParameter.GridOnset => 0.3,
        TubeParameter.PlateShareSlope => 0.1,
        TubeParameter.Emission => 2,
        TubeParameter.GasRatio => 1e-3,
        TubeParameter.GridCathodeLeakSiemens => 1e-6,
        _ => 1,
    };

    /// <summary>Held where it is unless the data ask for it: a sound tube has none of either.</summary>
    public static bool IsFault(TubeParameter parameter) => parameter is TubeParameter.GasRatio or TubeParameter.GridCathodeLeakSiemens;
}
