namespace SweepRig.Tubes.Model;

/// <summary>The constants of a tube that curves can tell, in the order of their columns in <see cref="TubeSensitivities"/>.</summary>
public enum TubeParameter
{
    Perveance,
    ScreenMu,
    PlateMu,
    GridOffset,
    CutoffSpread,
    GridShare,
    GridOnset,
    GridSpaceLimit,
    PlateShare,
    PlateShareSlope,
    PlateSpaceLimit,
    FoldBackCurrent,
    Emission,
    GasRatio,
    GridCathodeLeakSiemens,
}
