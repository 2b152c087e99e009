using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Spice.SpiceText;

namespace SweepRig.Analysis.Spice;

/// <summary>The comments at the head of a tube's subcircuit: what it is, whence, where it holds, its constants.</summary>
internal static class TubeSubcircuitHead
{
    public static void Write(SpiceText text, TubeModel model, SpiceProvenance provenance, SpiceSubcircuit pentode, SpiceSubcircuit triode)
    {
        var p = model.Parameters;
        provenance.Write(text);
        text.Comment("");
        text.Comment($"{pentode.Name}: {string.Join(' ', pentode.Pins)}; suppressor at the cathode.");
        text.Comment($"{triode.Name}: {string.Join(' ', triode.Pins)}; screen and suppressor at the plate.");
        text.Comment("Static: no capacitance, no warm-up, no noise. For transients add the capacitances between the electrodes from the data sheet.");
        text.Comment("Node voltages within 1 mV need .options reltol=1e-6; the customary 1e-3 may stop a few millivolts off.");
        text.Comment("Sound for a grid up to about +5 V and below the screen; no secondary emission, hence no tetrode.");
        text.Comment($"Cathode at {N(Math.Round(model.TemperatureKelvin, 1))} K, kT/e {N(Math.Round(model.ThermalVolts, 6))} V; emission there {N(model.SaturationCurrent)} A.");
        text.Comment($"perveance {N(p.Perveance)} A/V^1.5; mu of grid against screen {N(p.ScreenMu)}, against plate {N(p.PlateMu)}; offset {N(p.GridOffset)} V; cut-off spread {N(p.CutoffSpread)}");
        text.Comment($"grid share {N(p.GridShare)}; grid onset {N(p.GridOnset)} V; gas ratio {N(p.GasRatio)}");
        text.Comment($"grid-screen space limit {N(p.GridSpaceLimit)} A/V^1.5, sharpness {N(p.GridSpaceSharpness)}; emission sharpness {N(p.EmissionSharpness)}");
        text.Comment($"plate/screen share {N(p.PlateShare)}, slope {N(p.PlateShareSlope)}; plate space limit {N(p.PlateSpaceLimit)} A/V^1.5, sharpness {N(p.PlateSpaceSharpness)}; fold-back current {N(p.FoldBackCurrent)} A");
        text.Comment("Nodes: vs, e, c in V; i0 to ip in A; ls, lq, le, lc, lh natural logarithms of volts; t share of the grid.");
    }
}
