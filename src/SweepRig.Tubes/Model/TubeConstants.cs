using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>The constants of the model as the formulas take them, one tube in all lanes or a tube in each.</summary>
internal struct TubeConstants
{
    public Vector<double> Perveance, GridOffset, InverseScreenMu, InversePlateMu, SpreadSquared;
    public Vector<double> Share, Onset, OnsetWidth, Width, WidthSquared, Saturation;
    public Vector<double> GridSpace, PlateShare, PlateShareSlope, PlateSpace, FoldBack, Gas;
    public Vector<double> LeakGridCathode, LeakGridScreen, LeakGridPlate, LeakPlateCathode;

    /// <summary>Sharpness of emission, grid space and plate space; the same in all lanes.</summary>
    public double EmissionSharpness, GridSpaceSharpness, PlateSpaceSharpness;

    /// <param name="thermalVolts">k T/e of the cathode.</param>
    /// <param name="saturation">Emission at that temperature. Unit: A.</param>
    public TubeConstants(TubeParameters p, double thermalVolts, double saturation)
    {
        var width = 1.5 * thermalVolts;
        (Width, WidthSquared, OnsetWidth) = (new(width), new(width * width), new(0.5 * thermalVolts));
        (Perveance, GridOffset, Saturation) = (new(p.Perveance), new(p.GridOffset), new(saturation));
        (InverseScreenMu, InversePlateMu, SpreadSquared) = (new(1 / p.ScreenMu), new(1 / p.PlateMu), new(p.CutoffSpread * p.CutoffSpread));
        (Share, Onset, GridSpace) = (new(p.GridShare), new(p.GridOnset), new(p.GridSpaceLimit));
        (PlateShare, PlateShareSlope, PlateSpace, FoldBack) = (new(p.PlateShare), new(p.PlateShareSlope), new(p.PlateSpaceLimit), new(p.FoldBackCurrent));
        (Gas, LeakGridCathode, LeakGridScreen) = (new(p.GasRatio), new(p.GridCathodeLeakSiemens), new(p.GridScreenLeakSiemens));
        (LeakGridPlate, LeakPlateCathode) = (new(p.GridPlateLeakSiemens), new(p.PlateCathodeLeakSiemens));
        (EmissionSharpness, GridSpaceSharpness, PlateSpaceSharpness) = (p.EmissionSharpness, p.GridSpaceSharpness, p.PlateSpaceSharpness);
    }

    /// <summary>True when another tube can stand in a lane beside this one.</summary>
    public readonly bool IsAsSharpAs(in TubeConstants other) =>
        EmissionSharpness == other.EmissionSharpness && GridSpaceSharpness == other.GridSpaceSharpness && PlateSpaceSharpness == other.PlateSpaceSharpness;

    /// <summary>Puts a tube into one lane.</summary>
    public void Put(in TubeConstants tube, int lane)
    {
        Perveance = Perveance.WithElement(lane, tube.Perveance[0]);
        GridOffset = GridOffset.WithElement(lane, tube.GridOffset[0]);
        InverseScreenMu = InverseScreenMu.WithElement(lane, tube.InverseScreenMu[0]);
        InversePlateMu = InversePlateMu.WithElement(lane, tube.InversePlateMu[0]);
        SpreadSquared = SpreadSquared.WithElement(lane, tube.SpreadSquared[0]);
        Share = Share.WithElement(lane, tube.Share[0]);
        Onset = Onset.WithElement(lane, tube.Onset[0]);
        OnsetWidth = OnsetWidth.WithElement(lane, tube.OnsetWidth[0]);
        Width = Width.WithElement(lane, tube.Width[0]);
        WidthSquared = WidthSquared.WithElement(lane, tube.WidthSquared[0]);
        Saturation = Saturation.WithElement(lane, tube.Saturation[0]);
        GridSpace = GridSpace.WithElement(lane, tube.GridSpace[0]);
        PlateShare = PlateShare.WithElement(lane, tube.PlateShare[0]);
        PlateShareSlope = PlateShareSlope.WithElement(lane, tube.PlateShareSlope[0]);
        PlateSpace = PlateSpace.WithElement(lane, tube.PlateSpace[0]);
        FoldBack = FoldBack.WithElement(lane, tube.FoldBack[0]);
        Gas = Gas.WithElement(lane, tube.Gas[0]);
        LeakGridCathode = LeakGridCathode.WithElement(lane, tube.LeakGridCathode[0]);
        LeakGridScreen = LeakGridScreen.WithElement(lane, tube.LeakGridScreen[0]);
        LeakGridPlate = LeakGridPlate.WithElement(lane, tube.LeakGridPlate[0]);
        LeakPlateCathode = LeakPlateCathode.WithElement(lane, tube.LeakPlateCathode[0]);
    }
}
