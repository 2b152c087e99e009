using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Spice.SpiceFormula;
using static SweepRig.Analysis.Spice.SpiceText;

namespace SweepRig.Analysis.Spice;

/// <summary>A tube of <see cref="TubeModel"/> as a subcircuit of behavioural sources, in pentode connection and wrapped for the triode connection.</summary>
/// <remarks>
/// Each intermediate quantity is a node, so that a simulator differentiates short formulas. The currents are those of the model to rounding; added is only
/// a path of 1 Tohm from each electrode to the cathode, so that no electrode floats.
/// </remarks>
public static class TubeSubcircuit
{
    private const double Path = 1e12;

    /// <param name="model">The tube at the cathode temperature that it is to have.</param>
    /// <param name="name">Of the pentode; the triode connection gets <c>_triode</c> appended.</param>
    /// <param name="provenance">For the comments.</param>
    /// <exception cref="ArgumentException">The name is not one that SPICE takes.</exception>
    public static SpiceLibrary Write(TubeModel model, string name, SpiceProvenance provenance)
    {
        ArgumentNullException.ThrowIfNull(model);
        ArgumentNullException.ThrowIfNull(provenance);
        var pentode = new SpiceSubcircuit(SpiceName.Require(name), ["plate", "screen", "grid", "cathode"]);
        var triode = new SpiceSubcircuit(name + "_triode", ["plate", "grid", "cathode"]);
        var text = new SpiceText();
        TubeSubcircuitHead.Write(text, model, provenance, pentode, triode);
        text.Statement($".subckt {pentode.Name} p s g k");
        WriteNodes(text, model);
        WriteCurrents(text, model.Parameters);
        text.Statement($".ends {pentode.Name}");
        text.Statement($".subckt {triode.Name} p g k");
        text.Statement($"Xtube p p g k {pentode.Name}");
        text.Statement($".ends {triode.Name}");
        return new(text.ToString(), [pentode, triode]);
    }

    private static void WriteNodes(SpiceText text, TubeModel model)
    {
        var p = model.Parameters;
        var thermal = model.ThermalVolts;
        var screen = $"({Positive("v(s,k)", F(1.5 * thermal))})";
        var onset = $"({Positive($"(v(g,k)+{F(p.GridOnset)})", F(0.5 * thermal))})";
        var width = $"sqrt({F(2.25 * thermal * thermal)}+{F(p.CutoffSpread * p.CutoffSpread)}*v(vs)*v(vs))";
        var pull = $"{F(p.GridOffset)}+v(s,k)/{F(p.ScreenMu)}+v(p,k)/{F(p.PlateMu)}";
        var effective = $"({Positive($"(v(g,k)+{pull})", width)})";

        Node("vs", screen);
        Node("ls", $"ln({screen})");
        Node("lq", $"ln({Positive("v(p,k)", F(1.5 * thermal))})");
        Node("e", effective);
        Node("i0", $"{F(p.Perveance)}*v(e)*sqrt(abs(v(e)))");
        Node("ie", Smaller("v(i0)", Log(model.SaturationCurrent), p.EmissionSharpness));
        if (p.GridShare > 0)
        {
            Node("le", $"ln({effective})");
            Node("c", onset);
            Node("lc", $"ln({onset})");
            Node("lh", $"ln({Positive($"({pull}-{F(p.GridOnset)}+v(c))", width)})");
            Node("t", Share($"({Log(p.GridShare)}+0.5*(v(lc)-v(ls))+1.5*(v(lh)-v(le)))"));
        }
        Node("f", p.GridShare > 0 ? "v(ie)*(1-v(t))" : "v(ie)");
        Node("it", Smaller("v(f)", $"({Log(p.GridSpaceLimit)}+1.5*v(ls))", p.GridSpaceSharpness));
        Node("is", $"v(it)*({Share($"({Log(p.PlateShare)}+{F(p.PlateShareSlope)}*(v(lq)-v(ls)))")})");
        Node("ip", Smaller("v(is)", $"({Log(p.PlateSpaceLimit)}+1.5*v(lq)-ln(1+abs(v(is))/{F(p.FoldBackCurrent)}))", p.PlateSpaceSharpness));

        // A node needs two elements for the checks of SPICE; a source counts as one, what reads the node does not count.
        void Node(string node, string formula)
        {
            text.Statement($"B{node} {node} 0 V={formula}");
            text.Statement($"R{node} {node} 0 1e9");
        }
    }

    private static void WriteCurrents(SpiceText text, TubeParameters p)
    {
        var ion = p.GasRatio > 0 ? $"{F(p.GasRatio)}*v(it)" : null;
        var caught = p.GridShare > 0 ? "(v(ie)+v(f)-v(it))*v(t)" : "0";
        text.Statement($"Bgrid g k I={caught}{(ion is null ? "" : "-" + ion)}");
        text.Statement("Bscreen s k I=v(it)-v(ip)");
        text.Statement($"Bplate p k I=v(ip){(ion is null ? "" : "+" + ion)}");
        Leak("Rgk", "g k", p.GridCathodeLeakSiemens);
        Leak("Rgs", "g s", p.GridScreenLeakSiemens);
        Leak("Rgp", "g p", p.GridPlateLeakSiemens);
        Leak("Rpk", "p k", p.PlateCathodeLeakSiemens);
        foreach (var pin in (string[])["g", "s", "p"]) text.Statement($"Rpath{pin} {pin} k {F(Path)}");

        void Leak(string resistor, string nodes, double siemens)
        {
            if (siemens > 0) text.Statement($"{resistor} {nodes} {F(1 / siemens)}");
        }
    }

    private static string Log(double value) => $"({F(Math.Log(value))})";
}
